package health

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"ohmledger/health/job"
)

// scattered is a history of eight measurements over two years in a room that is not kept at one temperature: 17 to 31 °C, known to
// 0.3 °C. Its cell ages, evenly or ever faster; the ohmic resistance by 5 to 25 %, the arc by 20 to 120 %.
func scattered(seed uint64) *bench {
	b := newBench()
	p := sound(seed)
	ohmic, arc, quickening := 0.05+0.2*p.random.Float64(), 0.2+p.random.Float64(), 1+p.random.Float64()
	for k := range 8 {
		passed := math.Pow(float64(k)/7, quickening)
		celsius := 17 + 14*p.random.Float64()
		r := row("A", 100*k+p.random.IntN(20), math.Round(10*celsius)/10)
		r.Cycles = pointer(float64(120 * k))
		b.add(aged(p.cell, 1+ohmic*passed, 1+arc*passed), r)
		truth := warmed(aged(p.cell, 1+ohmic*passed, 1+arc*passed), celsius+0.3*p.random.NormFloat64())
		truth.Ohmic += 1e-4 * p.random.NormFloat64() // how clips repeat
		b.inputs[k].Spectrum = sweep(truth, 0.002, p.random.Uint64())
	}
	return b
}

// contacts are the findings about contacts that a measurement has.
func contacts(m *Measurement) (codes []string) {
	for _, f := range m.Quality.Findings {
		if slices.Contains(contactCodes, f.Code) {
			codes = append(codes, f.Code)
		}
	}
	return codes
}

var contactCodes = []string{"shift-rigid", "shift-carried", "shift-undone", "shift-slight", "first-ohmic-unlike-following", "first-arc-unlike-following", "step-alone"}

// Temperatures that scatter and cells that age make no contact bad.
func TestNoFalseAlarmsInScatteredHistories(t *testing.T) {
	if testing.Short() {
		t.Skip("numbers alone: nothing runs side by side that does not in other tests")
	}
	for seed := range uint64(60) {
		for _, m := range scattered(seed).assess(t).Cells.At(0).Measurements {
			for _, f := range m.Quality.Findings {
				if slices.Contains(contactCodes, f.Code) {
					t.Errorf("seed %d, %s, %.1f °C: %s %s", seed, m.Row.File, m.Row.TemperatureC, f.Code, f.Message)
				}
			}
		}
	}
}

// A contact that adds some milliohm to a cell of 20 is found as surely as a technician would find it, wherever in the history. Run with -v
// for the table.
func TestContactsInScatteredHistories(t *testing.T) {
	if testing.Short() {
		t.Skip("numbers alone: nothing runs side by side that does not in other tests")
	}
	const seeds = 6
	for _, at := range []int{0, 4, 7} {
		line := fmt.Sprintf("contact at measurement %d of 8", at+1)
		for _, size := range []float64{0, 1, 2, 3, 5, 30} {
			if size > 0 && size < 5 && !testing.Verbose() {
				continue // in between nothing is promised; the rates are for the eye
			}
			found := 0
			for seed := range uint64(seeds) {
				b := scattered(100 + seed)
				b.moved(at, size/1000)
				m := &b.assess(t).Cells.At(0).Measurements[at]
				if len(contacts(m)) > 0 {
					found++
				}
			}
			line += fmt.Sprintf("  %g mΩ: %d %%", size, 100*found/seeds)
			if size == 0 && found > 0 || size >= 5 && found < seeds {
				t.Errorf("%g mΩ at measurement %d: found in %d of %d", size, at+1, found, seeds)
			}
		}
		t.Log(line)
	}
}

// What a contact adds touches the ohmic resistance and the value at 1 kHz, and no arc.
func TestAContactTouchesNoArc(t *testing.T) {
	b := scattered(7)
	b.moved(7, 0.012)
	m := &b.assess(t).Cells.At(0).Measurements[7]
	if m.OhmicGrowth.Ratio.Known() || m.OhmicGrowth.Reason == "" || !m.ChargeTransferGrowth.Ratio.Known() {
		t.Errorf("%+v %+v %+v", m.OhmicGrowth, m.ChargeTransferGrowth, m.Quality.Findings)
	}
	if why := m.touching(job.ACResistance1kHzOhm); !why.says() {
		t.Error("the value at 1 kHz still counts")
	}
}

// A contact that was mended again leaves no trace in the measurements after it; one that was not is carried on.
func TestContactsMendedAndNot(t *testing.T) {
	for seed := range uint64(6) {
		for _, until := range []int{5, 8} {
			b := scattered(200 + seed)
			for i := 4; i < until; i++ {
				b.moved(i, 0.012)
			}
			c := b.assess(t).Cells.At(0)
			for i, want := range []string{"", "", "", "", "shift-rigid", "shift-undone", "", ""} {
				if i > 4 && until == 8 {
					want = "shift-carried"
				}
				if got := contacts(&c.Measurements[i]); want == "" && len(got) > 0 || want != "" && !slices.Contains(got, want) {
					t.Errorf("seed %d, contact until %d, measurement %d: %q, want %q", seed, until, i, got, want)
				}
			}
		}
	}
}
