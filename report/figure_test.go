package report

import (
	"bytes"
	"cmp"
	"fmt"
	"image/png"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"gonum.org/v1/plot/vg"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
)

func TestFiguresAreTidy(t *testing.T) {
	d := sketchDocument(t, "en")
	for _, ages := range []int{1, 2, 3, 7, 8, 9, 60, 300} {
		for _, f := range sketchFigures(d, sketchCell(ages)) {
			checkTidy(t, fmt.Sprintf("%s of %d ages", f.Name, ages), drawn(f))
		}
	}
}

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
	return strconv.ParseFloat(strings.ReplaceAll(text, minus, "-"), 64)
}

func TestNyquistLabelsDecades(t *testing.T) {
	c := drawn(Nyquist(sketchDocument(t, "en"), sketchCell(7)))
	labels := c.find(func(k inkText) bool { return strings.HasSuffix(k.text, "Hz") })
	seen := map[string]int{}
	for _, k := range labels {
		seen[strings.ReplaceAll(k.text, noBreak, " ")]++
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
	cell := sketchCell(7)
	cell.Measurements[3].Quality.Accepted = false
	f := Nyquist(d, cell)
	c := drawn(f)
	if len(c.find(func(k inkText) bool { return strings.HasPrefix(k.text, "not accepted: 2025-") })) != 1 {
		t.Errorf("no entry of the legend for the one not accepted")
	}
	if !strings.Contains(f.Caption, "all 6 accepted") {
		t.Errorf("caption: %s", f.Caption)
	}
	cell.Measurements[3].Quality.AcceptedByHand = "re-measured the same day with the same result"
	if f := Nyquist(d, cell); !strings.Contains(f.Caption, "all 7 accepted") {
		t.Errorf("caption after acceptance by hand: %s", f.Caption)
	}
}

func TestManyAgesAreThinned(t *testing.T) {
	n := newNyquist(sketchDocument(t, "en").Words, sketchCell(300))
	if len(n.ages) != 7 || n.ages[0].index != 0 || n.ages[6].index != 299 {
		t.Errorf("%d ages in colour, want the first, the last and five between", len(n.ages))
	}
	if len(n.faint) != 40 {
		t.Errorf("%d faint spectra, want 40", len(n.faint))
	}
	for count := 1; count < 12; count++ {
		list := make([]drawnSpectrum, 10)
		chosen, others := apart(list, count)
		if len(chosen) != min(count, 10) || len(chosen)+len(others) != 10 {
			t.Errorf("%d chosen and %d others of 10 for %d", len(chosen), len(others), count)
		}
	}
}

func TestGrowthShowsLimitsAndGuardBand(t *testing.T) {
	d := sketchDocument(t, "en")
	c := drawn(Growth(d, sketchCell(7), "days"))
	for _, want := range []string{"limit 2", "limit 1.5", "acceptance limit 1.88", "2025-01", "judged measurement"} {
		if len(c.find(func(k inkText) bool { return k.text == want })) != 1 {
			t.Errorf("%q does not stand once", want)
		}
	}
	cell := sketchCell(7)
	cell.Criteria[0].Limit = 500
	c = drawn(Growth(d, cell, "days"))
	if len(c.find(func(k inkText) bool { return k.text == "↑ limit 500" })) != 1 {
		t.Errorf("a limit far above the growth is not pointed to")
	}
}

func TestGrowthAgainstCycles(t *testing.T) {
	d := sketchDocument(t, "en")
	cell := sketchCell(7)
	for i := range cell.Measurements[:6] {
		cycles := float64(i) * 150
		cell.Measurements[i].Row.Cycles = &cycles
	}
	f := Growth(d, cell, "cycles")
	if !strings.Contains(f.Caption, "1 measurement has no place") {
		t.Errorf("caption: %s", f.Caption)
	}
	if c := drawn(f); len(c.find(func(k inkText) bool { return k.text == "200" })) != 1 {
		t.Errorf("no tick at 200 cycles")
	}
}

func TestGrowthThatCouldNotBeHad(t *testing.T) {
	d := sketchDocument(t, "en")
	cell := sketchCell(4)
	for i := range cell.Measurements {
		cell.Measurements[i].ChargeTransferGrowth = health.Growth{Reason: "the arc is not resolved"}
	}
	cell.Measurements[1].Quality.Accepted = false
	c := drawn(Growth(d, cell, "days"))
	checkTidy(t, "growth without values", c)
	for _, want := range []string{"the arc is not resolved", "no growth for this measurement", "not accepted, no value", "not accepted"} {
		if len(c.find(func(k inkText) bool { return k.text == want })) != 1 {
			t.Errorf("%q does not stand once", want)
		}
	}
}

func TestFourWayBandLiesOnBothSides(t *testing.T) {
	c := health.Criterion{Quantity: job.ChargeTransferGrowth, Limit: 2, AcceptanceLimit: 1.6, Side: job.Max}
	if low, high := guardBand(c, job.FourWay); low != 1.6 || math.Abs(high-2.5) > 1e-12 {
		t.Errorf("growth: %v to %v, want 1.6 to 2.5: even on a logarithm", low, high)
	}
	if low, high := guardBand(c, job.Guarded); low != 1.6 || high != 2 {
		t.Errorf("guarded: %v to %v, want 1.6 to 2", low, high)
	}
	c.Quantity = job.CapacityAh
	if _, high := guardBand(c, job.FourWay); math.Abs(high-2.4) > 1e-12 {
		t.Errorf("capacity: up to %v, want 2.4", high)
	}
}

func TestNumberLineWritesEachSideOfTheLimit(t *testing.T) {
	d := sketchDocument(t, "en")
	cell := sketchCell(1)
	for _, side := range []job.Side{job.Max, job.Min} {
		for _, v := range []float64{0.2, 0.7, 0.799, 0.8, 0.801, 1, 30} {
			cell.Criteria = []health.Criterion{{Quantity: job.CapacityRetention, Side: side, Limit: 0.8, Value: fit.NewValue(v, 0.004),
				ExpandedUncertainty: 0.008, Lower: v - 0.008, Upper: v + 0.008, AcceptanceLimit: 0.808}}
			c := drawn(NumberLine(d, cell, 0))
			checkTidy(t, fmt.Sprintf("%s 0.8, value %v", side, v), c)
		}
	}
	cell.Criteria[0].Value, cell.Criteria[0].Lower = fit.Value{}, math.NaN()
	c := drawn(NumberLine(d, cell, 0))
	if len(c.find(func(k inkText) bool { return k.text == "not evaluated" })) != 1 {
		t.Error("a criterion that was not evaluated does not say so")
	}
}

func TestCircuitShowsWhatWasFitted(t *testing.T) {
	d := sketchDocument(t, "en")
	r := *sketchCell(1).Measurements[0].Fit
	c := drawn(Circuit(d, "A-003", &r))
	checkTidy(t, "two arcs", c)
	if len(c.find(func(k inkText) bool { return k.text == "film" })) != 1 {
		t.Error("two arcs: no film")
	}
	r.Arcs, r.Parameters.Film, r.Parameters.LeadCoefficient, r.Parameters.Diffusion = 1, 0, 0, 0
	r.ChargeTransfer = fit.Value{}
	c = drawn(Circuit(d, "A-003", &r))
	checkTidy(t, "one arc", c)
	for text, times := range map[string]int{"film": 0, "leads": 0, "not resolved": 1, "the whole arc": 1} {
		if got := len(c.find(func(k inkText) bool { return k.text == text })); got != times {
			t.Errorf("one arc: %q stands %d times, want %d", text, got, times)
		}
	}
	if f := Circuit(d, "A-003", nil); !strings.Contains(f.Caption, "no circuit was fitted") {
		t.Errorf("caption without a fit: %s", f.Caption)
	}
}

func TestResidualsBeyondTheFrameAreMarked(t *testing.T) {
	s := residualSet{}
	s.fill([]float64{1, 2, 3}, []complex128{0.001, 0.002i, 0.5}, nil)
	if r := s.reach(); r > 60 || r < 1.25 {
		t.Errorf("axis reaches %v %%", r)
	}
	d, cell := sketchDocument(t, "en"), sketchCell(2)
	cell.Measurements[1].Fit.Residuals[30] = complex(5, -7)
	checkTidy(t, "an outlier of 500 %", drawn(Residuals(d, cell)))
}

func TestFilesAreTheSameTwiceAndSideBySide(t *testing.T) {
	d := sketchDocument(t, "en")
	once := make([][]byte, 7)
	var group sync.WaitGroup
	for range 4 {
		group.Go(func() {
			for i, f := range sketchFigures(d, sketchCell(7)) {
				var b bytes.Buffer
				if err := WriteSVG(&b, f); err != nil {
					t.Error(err)
				}
				svgOf(t, &once[i], b.Bytes(), f.Name)
			}
		})
	}
	group.Wait()
}

// one at a time writes the first copy and compares the others with it.
var oneAtATime sync.Mutex

func svgOf(t *testing.T, first *[]byte, svg []byte, name string) {
	oneAtATime.Lock()
	defer oneAtATime.Unlock()
	if *first == nil {
		*first = bytes.Clone(svg)
	}
	if !bytes.Equal(*first, svg) {
		t.Errorf("%s: two drawings differ", name)
	}
}

func TestSVGCarriesCaptionAndFallbackFace(t *testing.T) {
	f := Nyquist(sketchDocument(t, "en"), sketchCell(2))
	f.Caption = "a < b & c"
	var b bytes.Buffer
	if err := WriteSVG(&b, f); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"<title>a &lt; b &amp; c</title>", "sans-serif;", "−Z″ / mΩ"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("no %q in the file", want)
		}
	}
}

func TestPNGHasItsResolution(t *testing.T) {
	f := Nyquist(sketchDocument(t, "en"), sketchCell(2))
	var b bytes.Buffer
	if err := WritePNG(&b, f); err != nil {
		t.Fatal(err)
	}
	im, err := png.Decode(&b)
	if err != nil {
		t.Fatal(err)
	}
	if w, want := im.Bounds().Dx(), int(math.Round(f.Width/25.4*pngResolution)); w != want {
		t.Errorf("%d dots wide, want %d", w, want)
	}
}

func TestFigureNamesAreFileNames(t *testing.T) {
	names := []string{"A-003", "A/003", "A 003", "A_003", "", "..", "Zelle Ω", strings.Repeat("x", 300), strings.Repeat("x", 301), "con"}
	var made []string
	for _, n := range names {
		name := figureName(n, "nyquist")
		if strings.ContainsAny(name, "/\\ .:") || len(name) > 100 {
			t.Errorf("%q becomes %q", n, name)
		}
		made = append(made, name)
	}
	slices.Sort(made)
	if len(slices.CompactFunc(made, func(a, b string) bool { return cmp.Compare(a, b) == 0 })) != len(names) {
		t.Errorf("names fall together: %v", made)
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
