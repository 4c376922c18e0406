package figure

import (
	"bytes"
	"cmp"
	"fmt"
	"image/png"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
)

func TestFiguresAreTidy(t *testing.T) {
	d := sketchDocument(t, "en")
	for _, ages := range []int{1, 2, 7, 9, 60, 300} {
		for _, f := range sketchFigures(d, sketchCell(ages)) {
			checkTidy(t, fmt.Sprintf("%s of %d ages", f.Name, ages), drawn(f))
			if f.Width == figureWidth && !strings.HasSuffix(f.Name, "circuit") {
				f.Width = figureWidth/2 - 2
				checkTidy(t, fmt.Sprintf("%s of %d ages at half width", f.Name, ages), drawn(f))
			}
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

// oneAtATime guards what svgOf writes: it keeps the first copy and compares the others with it.
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
