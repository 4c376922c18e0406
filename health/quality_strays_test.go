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
			for _, f := range Check(Evidence{Job: p.job, Phrase: english(t)}, Input{Row: p.row, Spectrum: p.spectrum}).Quality.Findings {
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
