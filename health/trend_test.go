package health

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"ohmledger/health/internal/published"
	"ohmledger/health/job"
)

// NIST StRD Nelson (ageing of insulation): ln strength falls as b2·t·exp(−b3·T) with b2 5.6178e-9 and b3 −0.0577,
// certified. At each temperature the course is a line whose slope that gives; at the lowest it cannot be told from none,
// as b2's standard deviation, larger than b2, warns.
func TestTrendNelson(t *testing.T) {
	strength := published.Column(t, "strd", "nonlinear_data.csv", "Nelson", "y")
	weeks := published.Column(t, "strd", "nonlinear_data.csv", "Nelson", "x1")
	celsius := published.Column(t, "strd", "nonlinear_data.csv", "Nelson", "x2")
	at := func(temperature float64) *series {
		var points []CoursePoint
		for i := range strength {
			if celsius[i] == temperature {
				points = append(points, CoursePoint{Place: weeks[i], Value: math.Log(strength[i])})
			}
		}
		slices.SortStableFunc(points, func(a, b CoursePoint) int { return int(a.Place - b.Place) })
		return newSeries(points)
	}
	for _, temperature := range []float64{180, 275} {
		s := at(temperature)
		r := straightLine(s.x, s.y)
		want := -5.6177717026e-9 * math.Exp(0.057701013174*temperature)
		near(t, "slope", r.Coefficients[1], want, 4*math.Sqrt(r.Variance*r.Inverse[1][1]))
		trend := Trend{Course: &Course{Limit: job.Limit{Side: job.Min, Bound: 0.5}}}
		trend.fill(s, true)
		if refused := trend.Because.Code == "trend-not-significant"; refused != (temperature == 180) {
			t.Errorf("%v °C: %+v, %v ± %v a week", temperature, trend.Because, trend.Rate.Estimate(), trend.Rate.StandardUncertainty())
		}
	}
}

// NIST/SEMATECH e-Handbook 8.1.5.1: from 25 to 125 °C, 0.5 eV make ageing 133 times as fast and 1 eV 17 597 times.
func TestAccelerationFactor(t *testing.T) {
	for eV, want := range map[float64]float64{0.5: 133, 1.0: 17597} {
		a := activation{energy: eV * 96485.33212}
		relative(t, "acceleration", math.Exp(a.exponent(25)-a.exponent(125)), want, 5e-3)
	}
}

// ageing is a cell that was measured every so many cycles, with growths of its arc.
func ageing(growths ...float64) *bench {
	b := newBench()
	for i, g := range growths {
		r := row("A", 30*i, 25)
		r.Cycles = pointer(float64(50 * i))
		b.add(aged(fresh, 1, g), r)
	}
	return b
}

func trendOf(t *testing.T, b *bench, q job.Quantity) Trend {
	t.Helper()
	for _, trend := range b.assess(t).Cells.At(0).Trend {
		if trend.Quantity == q {
			return trend
		}
	}
	t.Fatalf("no trend of %s", q)
	return Trend{}
}

func TestTrendMeetsItsLimit(t *testing.T) {
	trend := trendOf(t, ageing(1, 1.1, 1.2, 1.3, 1.4, 1.5, 1.6, 1.7), job.ChargeTransferGrowth)
	if trend.Against != "cycles" || trend.Law != "linear" || trend.Crosses == nil {
		t.Fatalf("%s %s %+v", trend.Against, trend.Law, trend.Because)
	}
	near(t, "rate", trend.Rate.Estimate(), 0.002, 3*trend.Rate.StandardUncertainty())
	if c := trend.Crosses; !(c.Lower95 <= 500 && 500 <= c.Upper95 && c.WithShared.Lower <= c.Lower95 && c.WithShared.Upper >= c.Upper95) {
		t.Errorf("%+v", c)
	}
	c := trend.Course
	if len(c.Points) != 8 || c.To != 700 || len(c.Fan) != fanSteps+1 || c.Trial == nil || c.Robust.S != 28 || !(c.Shared > 0) {
		t.Errorf("%+v", c)
	}
	for i, b := range c.Fan {
		if !(b.Prediction.Lower < b.Confidence.Lower && b.Confidence.Lower < b.Value && b.Value < b.Confidence.Upper && b.Confidence.Upper < b.Prediction.Upper) {
			t.Errorf("fan %d: %+v", i, b)
		}
	}
}

// Of so many independent points 95 % lie within the band: 2 of 4, 5 of 8 or 16 of 20 are chance in less than one case in twenty,
// 3, 6 and 17 are not (binomial law).
func TestTrialThatMissed(t *testing.T) {
	for later, held := range map[int]int{4: 2, 8: 5, 20: 16} {
		if !(ForecastTrial{Later: later, Held: held}).Missed() || (ForecastTrial{Later: later, Held: held + 1}).Missed() {
			t.Errorf("%d of %d", held, later)
		}
	}
	if (ForecastTrial{}).Missed() {
		t.Error("no later points were missed")
	}
}

func TestTrendsThatAreRefused(t *testing.T) {
	for code, b := range map[string]*bench{
		"trend-too-few-points":  ageing(1, 1.2, 1.4),
		"limit-crossed-already": ageing(1, 1.4, 1.8, 2.2, 2.6),
		"trend-not-significant": ageing(1, 1.002, 0.998, 1.001, 0.999, 1.002),
		"trend-away-from-limit": ageing(1, 0.98, 0.96, 0.94, 0.92, 0.9),
		"limit-beyond-horizon":  ageing(1, 1.01, 1.02, 1.03, 1.04, 1.05, 1.06, 1.07),
	} {
		trend := trendOf(t, b, job.ChargeTransferGrowth)
		if trend.Because.Code != code || trend.Crosses != nil || trend.Reason == "" {
			t.Errorf("want %s: %+v %+v", code, trend.Because, trend.Crosses)
		}
	}
	if trends := ageing(1).assess(t).Cells.At(0).Trend; trends != nil {
		t.Errorf("a cell measured once: %+v", trends)
	}
}

// Capacities of three digits that fall by the same each time, or were copied, have no scatter to judge a course by; one
// digit more has.
func TestTrendWithoutScatter(t *testing.T) {
	for _, c := range []struct {
		code       string
		capacities []float64
	}{
		{"trend-without-scatter", []float64{3.02, 2.95, 2.88, 2.81}},
		{"trend-without-scatter", []float64{3, 3, 3, 3, 3}},
		{"trend-without-scatter", []float64{3, 2.9, 3 - 0.1*math.Sqrt2, 3 - 0.1*math.Sqrt(3)}},
		{"", []float64{3.02, 2.951, 2.879, 2.81}},
	} {
		b := ageing(1, 1.1, 1.2, 1.3, 1.4)
		b.inputs = b.inputs[:len(c.capacities)]
		for i, ah := range c.capacities {
			b.inputs[i].Row.CapacityAh = &ah
		}
		b.job.Limits = []job.Limit{{Quantity: job.CapacityRetention, Side: job.Min, Bound: 0.5}}
		trend := trendOf(t, b, job.CapacityRetention)
		if refused := trend.Because.Code == "trend-without-scatter"; refused != (c.code != "") || refused != (len(trend.Course.Fan) == 0) {
			t.Errorf("%v: %+v", c.capacities, trend.Because)
		}
	}
}

// Over days alone a temperature series shows the temperature, and one day shows nothing; where the temperature goes up and down with
// the seasons the course is followed, unless the activation energies are read from it.
func TestTrendsWithoutAgeing(t *testing.T) {
	for _, c := range []struct {
		code     string
		celsius  []float64
		apart    int // hours
		measured bool
	}{
		{"trend-of-temperatures", []float64{35, 30, 25, 20, 15}, 24, false},
		{"trend-of-temperatures", []float64{15, 15, 20, 25, 30}, 24, false},
		{"trend-of-temperatures", []float64{25, 15, 30, 20, 25}, 24, true},
		{"trend-of-one-day", []float64{25, 25, 25, 25, 25}, 4, false},
		{"", []float64{25, 15, 30, 20, 25}, 24, false},
		{"", []float64{25, 24, 23, 22, 21}, 24, false},
	} {
		b := ageing(1, 1.4, 1.8, 2.2, 2.6)
		if c.code == "trend-of-one-day" {
			b = ageing(1, 1.05, 1.1, 1.15, 1.2) // more in a day is no age
		}
		if c.measured {
			b.job.TemperatureCorrection.Source = job.CorrectionMeasured
		}
		for i := range b.inputs {
			r := b.inputs[i].Row
			r.Cycles, r.TemperatureC = nil, c.celsius[i]
			r.MeasuredAt = b.inputs[0].Row.MeasuredAt.Add(time.Duration(i*c.apart) * time.Hour)
		}
		trend := trendOf(t, b, job.ChargeTransferGrowth)
		if c.code != "" && (trend.Because.Code != c.code || trend.Reason == "") {
			t.Errorf("%v °C every %d h: %+v, want %s", c.celsius, c.apart, trend.Because, c.code)
		}
		if drawn := len(trend.Course.Fan) > 0; drawn != (c.code == "") {
			t.Errorf("%v °C every %d h: a forecast is drawn: %t", c.celsius, c.apart, drawn)
		}
	}
}

// Cycles are taken where all points have them, then throughput, then days; what does not get on is no axis.
func TestTrendAxis(t *testing.T) {
	b := ageing(1, 1.1, 1.2, 1.3, 1.4)
	for i := range b.inputs {
		b.inputs[i].Row.ThroughputAh = pointer(float64(100 * i))
	}
	axis := func() string { return trendOf(t, b, job.ChargeTransferGrowth).Against }
	if got := axis(); got != "cycles" {
		t.Errorf("with all: %s", got)
	}
	b.inputs[3].Row.Cycles = nil
	if got := axis(); got != "throughput_ah" {
		t.Errorf("without one number of cycles: %s", got)
	}
	for i := range b.inputs {
		b.inputs[i].Row.ThroughputAh = pointer(7)
	}
	if got := axis(); got != "days" {
		t.Errorf("with a throughput that stands still: %s", got)
	}
}

// The first half of each cell's measured life, forecast and held against the second (Zhang et al., Nature Communications
// 11 (2020) 1706). Two of the four cells turn into a fast decline near cycle 190, which nothing in their first halves
// announces; until then the intervals must hold.
func TestForecastOfOpenData(t *testing.T) {
	j, inputs := realJob(t, "coin-25c")
	j.Limits = append(j.Limits, job.Limit{Quantity: job.TotalResistanceGrowth, Side: job.Max, Bound: 1.3},
		job.Limit{Quantity: job.CapacityRetention, Side: job.Min, Bound: 0.8})
	a, err := Assess(context.Background(), Evidence{Job: j, Inputs: inputs}, nil)
	if err != nil {
		t.Fatal(err)
	}
	const knee = 190
	held, all, heldBefore, before := 0, 0, 0, 0
	met, levels, metBefore, levelsBefore := 0, 0, 0, 0
	for _, cell := range a.Cells.All() {
		for _, trend := range cell.Trend {
			points := trend.Course.Points
			n := len(points) / 2
			if n < fewestPoints {
				t.Logf("%s %s: %d points", cell.Name, trend.Quantity, len(points))
				continue
			}
			s := newSeries(points[:n])
			m := s.models()
			for _, p := range points[n:] {
				if p.Place > s.until() {
					break
				}
				in := m.at(p.Place, s.span(), noiseToCome).Central()
				ok := in.Lower <= p.Value && p.Value <= in.Upper
				all, held = all+1, held+count01(ok)
				if p.Place <= knee {
					before, heldBefore = before+1, heldBefore+count01(ok)
				}
			}
			ok, at, any := levelMet(trend, points, n)
			if !any {
				continue
			}
			levels, met = levels+1, met+count01(ok)
			if at <= knee {
				levelsBefore, metBefore = levelsBefore+1, metBefore+count01(ok)
			}
			t.Logf("%s %s: level met at %.0f, held %v", cell.Name, trend.Quantity, at, ok)
		}
	}
	t.Logf("held %d of %d later measurements, %d of %d until cycle %d; %d of %d crossings, %d of %d until then", held, all, heldBefore, before, knee, met, levels, metBefore, levelsBefore)
	if share := float64(heldBefore) / float64(before); share < 0.95 {
		t.Errorf("until cycle %d: %.3f held", knee, share)
	}
	if share := float64(held) / float64(all); share < 0.75 {
		t.Errorf("in all: %.3f held", share)
	}
}

func count01(ok bool) int {
	if ok {
		return 1
	}
	return 0
}

// levelMet takes the level that was reached a quarter of the span after the first half as the limit, forecasts when it
// is met, and tells whether the interval holds the place where it was. A refusal to say holds nothing and counts not.
func levelMet(trend Trend, points []CoursePoint, n int) (ok bool, at float64, any bool) {
	s := newSeries(points[:n])
	target := s.x[n-1] + s.span()/2
	k := n
	for k < len(points)-1 && points[k].Place < target {
		k++
	}
	limit := trend.Course.Limit
	limit.Bound = points[k].Value
	f := Trend{Quantity: trend.Quantity, Against: trend.Against, Course: &Course{Limit: limit}}
	f.fill(s, true)
	if f.Crosses == nil {
		return false, 0, false
	}
	return f.Crosses.Lower95 <= points[k].Place && points[k].Place <= f.Crosses.Upper95, points[k].Place, true
}

// The bands hold whatever a cell's course is: they never turn around, and every number in them is one.
func TestForecastOfWildCourses(t *testing.T) {
	random := rand.New(rand.NewPCG(9, 99))
	for range 60 {
		var points []CoursePoint
		x := 0.0
		for range 4 + random.IntN(9) {
			x += random.ExpFloat64() * float64(random.IntN(3))
			points = append(points, CoursePoint{Place: x, Value: math.Exp(3 * random.NormFloat64()), Own: 0.1 * float64(random.IntN(2))})
		}
		if points[len(points)-1].Place <= points[0].Place {
			continue
		}
		fillOwn(points)
		trend := Trend{Course: &Course{Limit: job.Limit{Side: job.Max, Bound: 3}}}
		trend.fill(newSeries(points), true)
		for _, b := range trend.Course.Fan {
			if !(b.Prediction.Lower <= b.Value && b.Value <= b.Prediction.Upper) {
				t.Fatalf("%+v: %+v", points, b)
			}
		}
		if c := trend.Crosses; c != nil && !(c.Lower95 <= c.Value && c.Value <= c.Upper95) {
			t.Fatalf("%+v", c)
		}
	}
}
