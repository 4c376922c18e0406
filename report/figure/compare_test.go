package figure

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report/notation"
)

// sketchComparison is a cell measured twice, the second time with leads of some ohm more.
func sketchComparison(leads float64) *health.Comparison {
	random := rand.New(rand.NewPCG(5, 8))
	c := &health.Comparison{A: sketchMeasurement(newcomer, random), B: sketchMeasurement(newcomer, random), Comparable: true}
	c.A.Row.File, c.B.Row.File = "may/first.csv", "may/second.csv"
	for i := range c.B.Spectrum.Impedance {
		c.B.Spectrum.Impedance[i] += complex(leads, 0)
	}
	c.B.Fit.Parameters.Ohmic += leads
	c.Shift = fit.NewValue(leads, 2e-5)
	return c
}

func TestCompareIsTidy(t *testing.T) {
	d := sketchDocument(t, "en")
	for _, leads := range []float64{0, 1e-4, 0.042, -0.004, 3} {
		f := Compare(d.Words, sketchComparison(leads))
		checkTidy(t, fmt.Sprintf("leads of %g ohm", leads), drawn(f))
		f.Width = figureWidth / 2
		checkTidy(t, fmt.Sprintf("leads of %g ohm at half width", leads), drawn(f))
	}
}

func TestCompareNamesAndShift(t *testing.T) {
	d := sketchDocument(t, "en")
	f := Compare(d.Words, sketchComparison(0.042))
	c := drawn(f)
	for _, want := range []string{"A: first.csv", "B: second.csv", "A moved by +42.000(20)" + notation.NoBreak + "mΩ", "B less A", "−Z″ / mΩ", "difference / mΩ"} {
		if len(c.find(func(k inkText) bool { return k.text == want })) != 1 {
			t.Errorf("%q does not stand once", want)
		}
	}
	if !strings.Contains(f.Caption, "A first.csv, B second.csv") || !strings.Contains(f.Caption, "by +42.000(20)"+notation.NoBreak+"mΩ") {
		t.Errorf("caption: %s", f.Caption)
	}
	if names := namesApart("a/x.csv", "b/x.csv"); names["A"] != "a/x.csv" || names["B"] != "b/x.csv" {
		t.Errorf("names that do not tell apart: %v", names)
	}
}

// A shift within its uncertainty is not drawn.
func TestCompareWithoutShift(t *testing.T) {
	d := sketchDocument(t, "en")
	c := sketchComparison(0)
	c.Shift = fit.NewValue(1e-5, 2e-5)
	f := Compare(d.Words, c)
	if got := drawn(f).find(func(k inkText) bool { return strings.HasPrefix(k.text, "A moved") }); len(got) > 0 || strings.Contains(f.Caption, "Dashed") {
		t.Errorf("%v; %s", got, f.Caption)
	}
}

// The difference is that of the spectra: leads of 42 mΩ give a level real part at 42 mΩ and none that is imaginary.
func TestDifferenceOfLeads(t *testing.T) {
	c := sketchComparison(0.042)
	copy(c.B.Spectrum.Impedance, c.A.Spectrum.Impedance)
	for i := range c.B.Spectrum.Impedance {
		c.B.Spectrum.Impedance[i] += 0.042
	}
	k := newComparison(sketchDocument(t, "en").Words, c)
	if len(k.parts[0]) != len(c.A.Spectrum.Frequency) {
		t.Fatalf("%d points", len(k.parts[0]))
	}
	for i := range k.parts[0] {
		if math.Abs(k.parts[0][i].Y-0.042) > 1e-12 || math.Abs(k.parts[1][i].Y) > 1e-12 {
			t.Errorf("at %g Hz: %g and %g ohm", k.parts[0][i].X, k.parts[0][i].Y, k.parts[1][i].Y)
		}
	}
}

// A milliohm has one length on both axes.
func TestCompareHasEqualScales(t *testing.T) {
	c := sketchComparison(0.004)
	c.Comparable = false // without the lower panel, whose axes are others
	f := Compare(sketchDocument(t, "en").Words, c)
	for _, size := range [][2]float64{{f.Width, f.Height}, {90, 80}, {60, 120}, {174, 40}} {
		f.Width, f.Height = size[0], size[1]
		across, up := unitLengths(t, drawn(f))
		if math.Abs(across/up-1) > 0.01 {
			t.Errorf("on %v mm a unit is %.3f pt long across and %.3f pt up", size, across, up)
		}
	}
}

// Where nothing can be compared or drawn, the figure says so.
func TestCompareOfLittle(t *testing.T) {
	d := sketchDocument(t, "en")
	c := sketchComparison(0)
	c.Comparable, c.Shift = false, fit.Value{}
	f := Compare(d.Words, c)
	checkTidy(t, "not comparable", drawn(f))
	if !strings.Contains(f.Caption, "They cannot be compared") {
		t.Errorf("caption: %s", f.Caption)
	}
	bare := health.Measurement{Row: &job.Measurement{}}
	f = Compare(d.Words, &health.Comparison{A: bare, B: bare})
	checkTidy(t, "nothing", drawn(f))
	if !strings.Contains(f.Caption, "not two spectra") {
		t.Errorf("caption: %s", f.Caption)
	}
}

// Whatever two measurements hold, drawing does not panic and nothing leaves the canvas.
func FuzzCompare(f *testing.F) {
	for seed := range uint64(40) {
		f.Add(seed)
	}
	d := sketchDocument(f, "en")
	f.Fuzz(func(t *testing.T, seed uint64) {
		random := rand.New(rand.NewPCG(seed, 9))
		c := &health.Comparison{A: oddMeasurement(random), B: oddMeasurement(random), Comparable: random.IntN(3) > 0, Shift: oddValue(random)}
		figure := Compare(d.Words, c)
		if figure.Caption == "" || !(figure.Width > 0 && figure.Height > 0 && figure.Height < 250) {
			t.Errorf("%q, %v × %v mm", figure.Caption, figure.Width, figure.Height)
		}
		for _, fault := range drawn(figure).faults {
			t.Errorf("seed %d: %s", seed, fault)
			break
		}
	})
}

// Equal data have an axis in a unit of the cell, and not one of rounding errors.
func TestCompareOfEqualData(t *testing.T) {
	d := sketchDocument(t, "en")
	c := sketchComparison(0)
	for i, z := range c.A.Spectrum.Impedance {
		c.B.Spectrum.Impedance[i] = z * (1 + 1e-16)
	}
	c.Shift = fit.NewValue(0, 0)
	if got := drawn(Compare(d.Words, c)).find(func(k inkText) bool { return k.text == "difference / µΩ" }); len(got) != 1 {
		t.Error("the axis of the difference is not in µΩ")
	}
}
