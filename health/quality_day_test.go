package health

import "testing"

// Where two measurements of one day and state contradict one another, the order of the table's rows must not decide.
func TestMeasurementsOfOneDayRepeat(t *testing.T) {
	for name, c := range map[string]struct {
		arcs   []float64 // of the last day
		cycles []float64
		warm   float64 // °C more at the last of them
		apart  []bool
	}{
		"repeat":                {arcs: []float64{1.6, 1.62}, apart: []bool{false, false}},
		"bound":                 {arcs: []float64{1.6, 1.9}, apart: []bool{false, false}},
		"another cell's":        {arcs: []float64{1.2, 2.4}, apart: []bool{true, true}},
		"the other way round":   {arcs: []float64{2.4, 1.2}, apart: []bool{true, true}},
		"one of three":          {arcs: []float64{2.4, 2.4, 1.2}, apart: []bool{false, false, true}},
		"warmer, and corrected": {arcs: []float64{1.6, 1.6}, warm: 9, apart: []bool{false, false}},
		"used in between":       {arcs: []float64{1.2, 1.9}, cycles: []float64{100, 300}, apart: []bool{false, false}},
	} {
		b := newBench()
		b.add(fresh, row("A", 0, 25))
		for k, arc := range c.arcs {
			r := row("A", 90, 20)
			if k == len(c.arcs)-1 {
				r.TemperatureC += c.warm
			}
			if c.cycles != nil {
				r.Cycles = &c.cycles[k]
			}
			b.add(aged(fresh, 1.05, arc), r)
		}
		cell := b.assess(t).Cells.At(0)
		for k, apart := range c.apart {
			if got := cell.Measurements[k+1].Quality.Has("day-apart"); got != apart {
				t.Errorf("%s: of measurement %d said: %t", name, k+1, got)
			}
		}
		if last := c.apart[len(c.apart)-1]; (cell.Verdict == NotEvaluated) != last {
			t.Errorf("%s: verdict %v", name, cell.Verdict)
		}
	}
}
