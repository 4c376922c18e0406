package figure

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg"

	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report/notation"
)

// The numbers at the axes of a Nyquist plot show that a unit has the same length on both.
func TestNyquistHasEqualScales(t *testing.T) {
	d := sketchDocument(t, "en")
	for _, ages := range []int{1, 2, 7, 60} {
		f := Nyquist(d, sketchCell(ages))
		for _, size := range [][2]float64{{f.Width, f.Height}, {90, 80}, {60, 120}, {174, 40}} {
			f.Width, f.Height = size[0], size[1]
			across, up := unitLengths(t, drawn(f))
			if math.Abs(across/up-1) > 0.01 {
				t.Errorf("%d ages on %v mm: a unit is %.3f pt long across and %.3f pt up", ages, size, across, up)
			}
		}
	}
}

// unitLengths measures the length of a unit on both axes from the places of the numbers that stand there.
func unitLengths(t *testing.T, c *inked) (across, up float64) {
	t.Helper()
	numbers := c.find(func(k inkText) bool { _, err := number(k.text); return err == nil })
	// Numbers of the horizontal axis stand at one height, those of the other end at one place.
	pairs := func(same func(k inkText) vg.Length, place func(k inkText) vg.Length) float64 {
		for _, a := range numbers {
			for _, b := range slices.Backward(numbers) {
				va, _ := number(a.text)
				vb, _ := number(b.text)
				if va != vb && math.Abs(float64(same(a)-same(b))) < 0.01 {
					return float64(place(a)-place(b)) / (va - vb)
				}
			}
		}
		t.Fatalf("no two numbers stand in line among %v", numbers)
		return 0
	}
	middle := func(k inkText) vg.Length { return (k.box.Min.X + k.box.Max.X) / 2 }
	across = pairs(func(k inkText) vg.Length { return k.at.Y }, middle)
	up = pairs(func(k inkText) vg.Length { return k.box.Max.X }, func(k inkText) vg.Length { return k.at.Y })
	return across, up
}

func number(text string) (float64, error) {
	return strconv.ParseFloat(strings.ReplaceAll(text, notation.Minus, "-"), 64)
}

func TestNyquistLabelsDecades(t *testing.T) {
	c := drawn(Nyquist(sketchDocument(t, "en"), sketchCell(7)))
	labels := c.find(func(k inkText) bool { return strings.HasSuffix(k.text, "Hz") })
	seen := map[string]int{}
	for _, k := range labels {
		seen[strings.ReplaceAll(k.text, notation.NoBreak, " ")]++
	}
	for _, want := range []string{"1 kHz", "100 Hz", "10 Hz", "1 Hz", "100 mHz", "10 mHz"} {
		if seen[want] != 2 {
			t.Errorf("%s stands %d times, want at the oldest and at the latest; all: %v", want, seen[want], seen)
		}
	}
}

func TestNyquistHidesTheTailAndSaysSo(t *testing.T) {
	d := sketchDocument(t, "en")
	cell := sketchCell(3)
	for i := range cell.Measurements {
		for j := range cell.Measurements[i].Spectrum.Frequency[:8] {
			cell.Measurements[i].Spectrum.Impedance[j] += complex(0, 0.5) // a tail of half an ohm at an arc of 6 mΩ
		}
	}
	f := Nyquist(d, cell)
	if !strings.Contains(f.Caption, "not shown") {
		t.Errorf("the caption does not say that points are not shown: %s", f.Caption)
	}
	across, _ := unitLengths(t, drawn(f))
	if width := across * 1000 * 0.006; width < 50 {
		t.Errorf("the arc is %.0f pt wide: the tail has squeezed it", width/1000)
	}
}

func TestNyquistMarksWhatWasNotAccepted(t *testing.T) {
	d := sketchDocument(t, "en")
	cell := sketchCell(5)
	cell.Measurements[3].Quality.Accepted = false
	f := Nyquist(d, cell)
	c := drawn(f)
	if len(c.find(func(k inkText) bool { return strings.HasPrefix(k.text, "not accepted: 2025-") })) != 1 {
		t.Errorf("no entry of the legend for the one not accepted")
	}
	if !strings.Contains(f.Caption, "all 4 accepted") {
		t.Errorf("caption: %s", f.Caption)
	}
	cell.Measurements[3].Quality.AcceptedByHand = "re-measured the same day with the same result"
	if f := Nyquist(d, cell); !strings.Contains(f.Caption, "all 5 accepted") {
		t.Errorf("caption after acceptance by hand: %s", f.Caption)
	}
}

func TestManyAgesAreThinned(t *testing.T) {
	n := newNyquist(sketchDocument(t, "en").Words, sketchCell(300))
	if len(n.ages) != 5 || n.ages[0].index != 0 || n.ages[4].index != 299 {
		t.Errorf("%d ages in colour, want the first, the last and three between", len(n.ages))
	}
	if len(n.faint) != 30 {
		t.Errorf("%d faint spectra, want 30", len(n.faint))
	}
	for count := 1; count < 12; count++ {
		list := make([]drawnSpectrum, 10)
		chosen, others := apart(list, count)
		if len(chosen) != min(count, 10) || len(chosen)+len(others) != 10 {
			t.Errorf("%d chosen and %d others of 10 for %d", len(chosen), len(others), count)
		}
	}
}

// The spectra that a verdict compares are in colour and have the rings, and between them none that was passed over for its state of charge.
func TestJudgedAndBaselineAreInColour(t *testing.T) {
	cell := sketchCell(53)
	for i := range cell.Measurements {
		if i < 20 || i%2 == 1 {
			cell.Measurements[i].OhmicGrowth, cell.Measurements[i].ChargeTransferGrowth = health.Growth{}, health.Growth{}
		}
	}
	cell.Baseline.Measurements, cell.Latest = []int{20, 21}, 46
	f := Nyquist(sketchDocument(t, "en"), cell)
	n := newNyquist(sketchDocument(t, "en").Words, cell)
	got := indices(n.ages)
	first, last := n.ringed()
	if len(got) != mostAges || got[first] != 20 || got[last] != 46 || slices.ContainsFunc(got, func(i int) bool { return i < 20 || i%2 == 1 }) {
		t.Errorf("in colour %v, rings on the %d and the %d", got, first, last)
	}
	for _, want := range []string{"5 of 53 accepted", "30 more in grey, 18 not drawn", "of the baseline and the judged one"} {
		if !strings.Contains(f.Caption, want) {
			t.Errorf("%q not found in %q", want, f.Caption)
		}
	}
	cell.Baseline = health.Baseline{Source: job.Declared}
	if f := Nyquist(sketchDocument(t, "en"), cell); !strings.Contains(f.Caption, "of the oldest and the latest") {
		t.Errorf("%q", f.Caption)
	}
}

func BenchmarkNyquist(b *testing.B) {
	d, cell := sketchDocument(b, "en"), sketchCell(8)
	for b.Loop() {
		drawn(Nyquist(d, cell))
	}
}

func BenchmarkGrowth(b *testing.B) {
	d, cell := sketchDocument(b, "en"), sketchCell(8)
	for b.Loop() {
		drawn(Growth(d, cell, "days"))
	}
}

func BenchmarkResiduals(b *testing.B) {
	d, cell := sketchDocument(b, "en"), sketchCell(8)
	for b.Loop() {
		drawn(Residuals(d, cell))
	}
}

func TestThinnedLinesStayWhereTheyBelong(t *testing.T) {
	var arc []vg.Point
	for i := range 200 {
		arc = append(arc, corner(100, float64(i)/199*math.Pi))
	}
	short := thinned(arc)
	if len(short) > 80 || short[0] != arc[0] || short[len(short)-1] != arc[199] {
		t.Errorf("%d points left", len(short))
	}
	for _, p := range arc {
		nearest := vg.Length(math.Inf(1))
		for i := range len(short) - 1 {
			nearest = min(nearest, offLine(p, short[i], short[i+1]))
		}
		if nearest > finest {
			t.Errorf("%v lies %.3f off the line", p, nearest)
		}
	}
}
