package health

import (
	"math"
	"strings"
	"testing"
)

// What is said of a stray point is its distance from what the others predict, with the uncertainty of that, several times which it
// exceeds.
func TestStrayPointsAreStatedWithTheirUncertainty(t *testing.T) {
	for code, plant := range map[string]func(p *planting){
		"points-off":    func(p *planting) { p.off(p.at(4), 0.10) },
		"mains-pick-up": func(p *planting) { p.pickUp(50, 0.10) },
	} {
		for seed := range uint64(5) {
			p := sound(seed)
			plant(p)
			found := 0
			for _, f := range Check(Evidence{Job: p.job, Phrase: english(t)}, Input{Row: &p.row, Spectrum: p.spectrum}).Quality.Findings {
				if f.Code != code {
					continue
				}
				found++
				if !strings.Contains(f.Message, "predicted by the others") || !strings.Contains(f.Message, "standard uncertainty") {
					t.Errorf("%q", f.Message)
				}
				for _, fact := range f.Facts {
					if fact.Name == "error" && !(fact.U > 0 && math.Abs(fact.Value) > sure*fact.U) {
						t.Errorf("%s: error %v ± %v", code, fact.Value, fact.U)
					}
				}
			}
			if found != 1 {
				t.Errorf("%s, seed %d: found %d times", code, seed, found)
			}
		}
	}
}

// The mains are named where the points tell which they are: by the frequency itself, or by several points that only one explains.
func TestMainsAreNamedWhereTheyAreTold(t *testing.T) {
	for _, c := range []struct {
		hz   []float64
		want float64
	}{
		{[]float64{50.1}, 50}, {[]float64{60.2}, 60}, {[]float64{63.1}, 0}, {[]float64{50.1, 63.1}, 0}, {[]float64{50.1, 100, 158}, 50},
		{[]float64{60, 63.1, 126}, 60}, {[]float64{48, 58, 302}, 0},
	} {
		var picked []stray
		for _, hz := range c.hz {
			picked = append(picked, stray{hz, 0.05, 0.001})
		}
		if got := mainsOf(picked); got != c.want {
			t.Errorf("%v Hz: %v, want %v", c.hz, got, c.want)
		}
	}
}

// One point off is one point, however far, and a clip that moves early in the sweep is no noise.
func TestOnePointAndOneJumpAreTold(t *testing.T) {
	for name, c := range map[string]struct {
		plant func(p *planting)
		want  string // the shape of a violation, or the code of a finding
		none  string
	}{
		"a point 2.5 times as large": {func(p *planting) { p.off(p.at(2), 1.5) }, "points", "sweep-jumps"},
		"a clip moves at 2 kHz":      {func(p *planting) { p.jump(0, 1900, 0.003, 1) }, "sweep-jumps", "noise-high"},
		"a point off near 60 Hz":     {func(p *planting) { p.off(p.at(60), 0.08) }, "mains", "noise-high"},
	} {
		for seed := range uint64(4) {
			p := sound(seed)
			c.plant(p)
			q := Check(Evidence{Job: p.job, Phrase: english(t)}, Input{Row: &p.row, Spectrum: p.spectrum}).Quality
			told := q.Has(c.want)
			for _, f := range q.Findings {
				for _, fact := range f.Facts {
					told = told || fact.Text == c.want && (fact.Name != "near" || strings.Contains(f.Advice, "Twist"))
				}
			}
			if !told || q.Has(c.none) {
				t.Errorf("%s, seed %d: %+v", name, seed, q.Findings)
			}
		}
	}
}

// A sweep that goes far below the arc's top does not end too early: its noise hides the valley.
func TestNoiseHidesWhereAnArcEnds(t *testing.T) {
	p, said := sound(1), 0
	for seed := range uint64(12) {
		q := Check(Evidence{Job: p.job, Phrase: english(t)}, Input{Row: &p.row, Spectrum: sweep(p.cell, 0.05, seed)}).Quality
		for _, f := range q.Findings {
			if f.Code != "arc-not-closed" {
				continue
			}
			if said++; !strings.Contains(f.Message, "scatter") || strings.Contains(f.Advice, "lower") {
				t.Errorf("seed %d: %q %q", seed, f.Message, f.Advice)
			}
		}
	}
	if said == 0 {
		t.Error("no arc is hidden by noise of 5 %")
	}
}
