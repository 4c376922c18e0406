package figure

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
)

// sketchTrend is a straight course of six points up to 500 that meets its limit at 900, and its forecast up to 1000.
func sketchTrend(against string) health.Trend {
	limit := job.Limit{Quantity: job.ChargeTransferGrowth, Side: job.Max, Bound: 1.9}
	course := &health.Course{Limit: limit, From: 0, To: 1000}
	value := func(x float64) float64 { return 1 + 0.001*x }
	for i := range 6 {
		x := float64(i) * 100
		course.Points = append(course.Points, health.CoursePoint{Measurement: i, Place: x, Value: value(x) + 0.02*math.Sin(float64(i)), Own: 0.015})
	}
	band := func(x, wide float64) health.CourseBand {
		about := func(w float64) fit.Interval { return fit.Interval{Lower: value(x) - w, Upper: value(x) + w} }
		return health.CourseBand{Place: x, Value: value(x), Confidence: about(wide), Prediction: about(wide + 0.04)}
	}
	for i := range 33 {
		course.Curve = append(course.Curve, band(1000*float64(i)/32, 0.03))
	}
	for i := range 17 {
		x := 500 + 500*float64(i)/16
		course.Fan = append(course.Fan, band(x, 0.03+0.0003*(x-500)))
	}
	return health.Trend{Quantity: limit.Quantity, Against: against, Law: "linear", Rate: fit.NewValue(0.001, 0.00005), Course: course,
		Crosses: &health.Crossing{Value: 900, Lower95: 800, Upper95: math.Inf(1), WithShared: fit.Interval{Lower: 780, Upper: math.Inf(1)}}}
}

func TestForecastIsTidyAtAnyWidth(t *testing.T) {
	d, cell := sketchDocument(t, "en"), sketchCell(7)
	for _, against := range []string{"cycles", "days", "throughput_ah"} {
		cell.Trend = []health.Trend{sketchTrend(against)}
		for _, width := range []float64{55, 85, figureWidth} {
			f := Forecast(d, cell, 0)
			f.Width = width
			c := drawn(f)
			checkTidy(t, fmt.Sprintf("%s, %v mm wide", f.Name, width), c)
			if len(c.find(func(k inkText) bool { return strings.HasSuffix(k.text, "limit 1.9") })) != 1 {
				t.Errorf("%s: the limit is not named", f.Name)
			}
		}
	}
}

// The figure says of itself that it is no result, and days are dates: 500 days after 2024-03-11 lies in 2025.
func TestForecastIsAnOpinionAboutDates(t *testing.T) {
	d, cell := sketchDocument(t, "en"), sketchCell(7)
	cell.Trend = []health.Trend{sketchTrend("days")}
	f := Forecast(d, cell, 0)
	if !strings.HasPrefix(f.Caption, "Opinion, no result.") {
		t.Errorf("caption: %s", f.Caption)
	}
	c := drawn(f)
	if len(c.find(func(k inkText) bool { return strings.HasPrefix(k.text, "2025-") })) == 0 {
		t.Error("no date in 2025")
	}
}

// The meeting lies on the limit at 900 of −20 to 1020, the axis' ends; it has no end where the interval goes on.
func TestForecastMarksWhereTheLimitIsMet(t *testing.T) {
	d, cell := sketchDocument(t, "en"), sketchCell(7)
	cell.Trend = []health.Trend{sketchTrend("cycles")}
	f := Forecast(d, cell, 0)
	c := drawn(f)
	var frame, diamond vg.Rectangle
	for _, p := range c.paths {
		size := p.box.Max.Sub(p.box.Min)
		if !p.filled && size.X > 100 && size.Y > 40 {
			frame = p.box
		}
		if p.filled && p.colour == crossingMark.colour && size.X > 2*crossingMark.radius {
			diamond = p.box
		}
	}
	if frame == (vg.Rectangle{}) || diamond == (vg.Rectangle{}) {
		t.Fatal("no frame or no mark")
	}
	want := frame.Min.X + (frame.Max.X-frame.Min.X)*(900+20)/(1020+20)
	if got := centreOf(diamond).X; math.Abs(float64(got-want)) > 0.5 {
		t.Errorf("the mark is at %v, want %v", got, want)
	}
}

func TestForecastNeedsACourse(t *testing.T) {
	whole := sketchTrend("cycles")
	if !Forecastable(&whole) {
		t.Error("a course is not forecastable")
	}
	without := whole
	without.Course = nil
	short := whole
	short.Course = &health.Course{Limit: whole.Course.Limit, Points: whole.Course.Points}
	for name, trend := range map[string]health.Trend{"none": without, "no bands": short} {
		if Forecastable(&trend) {
			t.Errorf("%s: forecastable", name)
		}
	}
}
