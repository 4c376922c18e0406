package health

import (
	"testing"
)

// fallen is a history of arcs, of ohmic resistances a quarter as changed, a number of days and of cycles apart.
func fallenHistory(days int, cycles float64, arcs ...float64) *bench {
	b := newBench()
	for k, arc := range arcs {
		r := row("A", days*k, 25)
		if cycles >= 0 {
			r.Cycles = pointer(cycles * float64(k))
		}
		b.add(aged(fresh, 1+(arc-1)/4, arc), r)
	}
	return b
}

// Smaller resistances contradict use. Where nothing says that the cell was used, or a single measurement before is what is off, the last one
// is judged; where it is off itself, it is not.
func TestSmallerResistancesContradictUse(t *testing.T) {
	for name, c := range map[string]struct {
		b     *bench
		fell  int // the first measurement of which it is said; -1: none
		judge bool
	}{
		"grown":                         {fallenHistory(90, 100, 1, 1.2, 1.4, 1.6), -1, true},
		"exchanged":                     {fallenHistory(90, 100, 1.6, 1), 1, false},
		"exchanged, no cycles stated":   {fallenHistory(90, -1, 1.6, 1), 1, false},
		"a week apart, nothing stated":  {fallenHistory(7, -1, 1.6, 1), -1, true},
		"no cycle in between":           {fallenHistory(90, 0, 1.6, 1), -1, true},
		"little smaller":                {fallenHistory(90, 100, 1.1, 1), -1, true},
		"one in the middle off":         {fallenHistory(90, 100, 1, 1.1, 1.6, 1.2, 1.3), -1, true},
		"an early one in the last's":    {fallenHistory(90, 100, 1, 1.1, 1.6, 1.7, 1.1), 4, false},
		"the last two before exchanged": {fallenHistory(90, 100, 1, 1.2, 1.7, 1.45), -1, true},
	} {
		a := c.b.assess(t)
		first := -1
		for i, m := range a.Cells.At(0).Measurements {
			if m.Quality.Has("resistances-fell") && first < 0 {
				first = i
			}
		}
		if first != c.fell || (a.Cells.At(0).Verdict != NotEvaluated) != c.judge {
			t.Errorf("%s: first said of %d, verdict %v", name, first, a.Cells.At(0).Verdict)
		}
	}
}
