package health

import (
	"slices"
	"strings"
	"testing"

	"ohmledger/fit"
)

// pairOf are two measurements of a cell, the second of it as it is then.
func pairOf(seed uint64, edit func(b *planting)) (a, b Input) {
	p, q := sound(seed), sound(seed)
	q.spectrum = sweep(q.cell, 0.002, seed+5000)
	edit(q)
	return Input{Row: &p.row, Spectrum: p.spectrum}, Input{Row: &q.row, Spectrum: q.spectrum}
}

// Common practice: an 18650 that reads 0.022 Ω with four wires reads 0.034 Ω with two, and its arc is the same. What that is said to be
// does not depend on being told.
func TestTwoWiresAgainstFour(t *testing.T) {
	cell := fresh
	cell.Ohmic = 0.022
	more := cell
	more.Ohmic, more.LeadCoefficient = 0.034, 9e-7
	c := Compare(Evidence{Phrase: english(t)}, Input{Spectrum: sweep(cell, 0.001, 1)}, Input{Spectrum: sweep(more, 0.001, 2)})
	near(t, "shift", c.Shift.Estimate(), 0.012, 5*c.Shift.StandardUncertainty())
	near(t, "share", c.ShiftShare, 12./22, 0.01)
	near(t, "arc", c.ArcGrowth.Estimate(), 0, 0.01)
	near(t, "inductance", c.InductanceB, 9e-7, 3e-8)
	d := c.Differences
	if d[0].Code != "wiring" || !strings.Contains(d[0].Message, "two wires") || d[len(d)-1].Code != "inductance" || len(d) != 2 {
		t.Errorf("%+v", d)
	}
	if u := c.Shift.StandardUncertainty(); u > 1e-4 {
		t.Errorf("the shift is known to %v Ω only", u)
	}
}

func TestWhatComparedMeasurementsDifferIn(t *testing.T) {
	if testing.Short() {
		t.Skip("numbers alone: nothing runs side by side that does not in other tests")
	}
	for _, c := range []struct {
		name, code string
		edit       func(b *planting)
	}{
		{"nothing", "alike", func(*planting) {}},
		{"clips", "contact", func(b *planting) { b.remeasured(func(c *fit.Parameters) { c.Ohmic += 0.001 }) }},
		{"clips mended", "contact", func(b *planting) { b.remeasured(func(c *fit.Parameters) { c.Ohmic -= 0.002 }) }},
		{"wires, as stated", "wiring", func(b *planting) {
			b.remeasured(func(c *fit.Parameters) { c.Ohmic += 0.003 })
			b.row.Sensing = twoWire
		}},
		{"large shift with equal wires stated", "contact", func(b *planting) { b.remeasured(func(c *fit.Parameters) { c.Ohmic += 0.030 }) }},
		{"colder", "temperature", func(b *planting) {
			*b = planting{b.cell, b.row, b.job, sweep(warmed(b.cell, 20), 0.002, 99), b.random, b.seed}
			b.row.TemperatureC = 20
		}},
		{"colder, not stated", "cell-changed", func(b *planting) {
			*b = planting{b.cell, b.row, b.job, sweep(warmed(b.cell, 20), 0.002, 99), b.random, b.seed}
		}},
		{"other charge", "charge", func(b *planting) {
			b.remeasured(func(c *fit.Parameters) { *c = aged(*c, 1, 0.7) })
			b.row.SOCPercent = pointer(80)
		}},
		{"older", "cell-aged", func(b *planting) {
			b.remeasured(func(c *fit.Parameters) { *c = aged(*c, 1.2, 1.5) })
			b.row.MeasuredAt = b.row.MeasuredAt.AddDate(1, 0, 0)
		}},
		{"shield taken off", "pick-up", func(b *planting) { b.pickUp(50, 0.08) }},
		{"one point off near 60 Hz", "pick-up", func(b *planting) { b.off(b.at(60), 0.08) }},
		{"noisier", "noise", func(b *planting) { b.spectrum = sweep(b.cell, 0.009, 99) }},
		{"leads laid otherwise", "inductance", func(b *planting) { b.remeasured(func(c *fit.Parameters) { c.LeadCoefficient += 5e-7 }) }},
		{"drift", "drift", func(b *planting) {
			share := elapsed(b.spectrum.Frequency)
			b.each(func(i int, _ float64, z complex128) complex128 { return z * complex(1+0.2*share[i], 0) })
		}},
		{"no spectrum of a cell", "rejected", func(b *planting) {
			b.each(func(int, float64, complex128) complex128 {
				return complex(0.02*(1+b.random.Float64()), 0.02*b.random.NormFloat64())
			})
		}},
		{"one a thousand times larger", "unit", func(b *planting) { b.each(func(_ int, _ float64, z complex128) complex128 { return 1000 * z }) }},
		{"one broken off", "band", func(b *planting) { b.keep(func(_ int, hz float64) bool { return hz > 200 }) }},
		{"one copied", "same-data", func(b *planting) { b.spectrum = sound(b.seed).spectrum }},
		{"another band", "not-comparable", func(b *planting) { b.keep(func(_ int, hz float64) bool { return hz > 6000 }) }},
	} {
		for seed := range uint64(5) {
			a, b := pairOf(seed, c.edit)
			got := Compare(Evidence{Phrase: english(t)}, a, b)
			alone := map[string]bool{"unit": true, "same-data": true, "band": true}
			if got.Differences[0].Code != c.code || alone[c.code] && len(got.Differences) > 1 {
				t.Errorf("%s, seed %d: %+v, shift %v ± %v", c.name, seed, got.Differences, got.Shift.Estimate(), got.Shift.StandardUncertainty())
			}
		}
	}
}

// What is left is held against the noise of both, and against the shift: a shift along with a change that nothing explains is no clip.
func TestLeftUnexplained(t *testing.T) {
	for _, c := range []struct {
		left, noise, share float64
		unlike, rigid      bool
	}{{0.009, 0.001, 0.05, false, true}, {0.02, 0.001, 0.05, true, false}, {0.02, 0.001, 0.5, true, true}, {0.02, 0.006, 0.05, false, true}} {
		k := Comparison{Comparable: true, Shift: fit.NewValue(c.share*0.02, 1e-6), ShiftShare: c.share, ArcGrowth: fit.NewValue(0, 0.01),
			Left: c.left, NoiseA: c.noise, NoiseB: c.noise}
		if k.unlike() != c.unlike || k.rigid() != c.rigid || (seeUnexplained(&k) != nil) != c.unlike {
			t.Errorf("%+v: unlike %v, rigid %v", c, k.unlike(), k.rigid())
		}
	}
}

// Temperature, contact and both at once, planted: the ohmic resistance of a cell with 12 and 50 kJ/mol takes no part in what is named for
// clips and leads, and what they add is found.
func TestTemperatureAndContact(t *testing.T) {
	for _, c := range []struct {
		name    string
		celsius float64
		ohm     float64
		codes   []string
	}{
		{"temperature", 21, 0, []string{"cell-changed"}}, {"a little warmer", 27, 0, []string{"cell-changed"}}, {"far colder", 5, 0, []string{"cell-changed"}},
		{"contact", 25, 0.008, []string{"contact"}},
		{"both", 23, 0.004, []string{"contact-besides", "cell-changed"}}, {"both, much", 22, 0.008, []string{"contact-besides", "cell-changed"}},
		{"contact mended", 23, -0.004, []string{"contact-besides", "cell-changed"}},
	} {
		a, b := pairOf(3, func(p *planting) {
			cell := warmed(p.cell, c.celsius)
			cell.Ohmic += c.ohm
			p.spectrum = sweep(cell, 0.002, 99)
		})
		got := Compare(Evidence{Phrase: english(t)}, a, b)
		if codes := codesOfDifferences(got.Differences); !slices.Equal(codes, c.codes) {
			t.Errorf("%s: %q, want %q; shift %v, arcs %v", c.name, codes, c.codes, got.Shift, got.ArcGrowth)
			continue
		}
		if c.codes[0] != "contact-besides" {
			continue
		}
		over, u, _, _ := got.besides()
		near(t, c.name, over, c.ohm, 3*u)
		if text := got.Differences[0].Message + got.Differences[1].Message; !strings.Contains(text, "two causes: temperature for the arcs") ||
			!strings.Contains(text, "may be theirs") {
			t.Errorf("%s: %s", c.name, text)
		}
	}
}

func codesOfDifferences(list []Finding) (codes []string) {
	for _, f := range list {
		codes = append(codes, f.Code)
	}
	return codes
}

// A resistance that grows at one capacitance takes its time constant along; arcs whose time constants stay are of no other temperature.
func TestTimeConstantsThatStay(t *testing.T) {
	for slowing, want := range map[float64]bool{0: true, 0.01: true, 0.1: false, -0.14: false} {
		k := Comparison{Comparable: true, Shift: fit.NewValue(0, 1e-6), ArcGrowth: fit.NewValue(0.148, 0.01), Slowing: fit.NewValue(slowing, 0.005)}
		if k.still() != want {
			t.Errorf("slowing %v: still %v", slowing, k.still())
		}
		message, _ := grounds{say: english(t)}.say.sentences("compare.cell-changed", k.arcFacts())
		if strings.Contains(message, "temperature would have changed the time constants too") != want {
			t.Error(message)
		}
	}
}

// B against A is the reverse of A against B.
func TestComparisonReversed(t *testing.T) {
	a, b := pairOf(7, func(b *planting) { b.remeasured(func(c *fit.Parameters) { c.Ohmic += 0.004 }) })
	there, back := Compare(Evidence{}, a, b), Compare(Evidence{}, b, a)
	near(t, "shift", there.Shift.Estimate(), -back.Shift.Estimate(), 3e-5)
	if there.Differences[0].Code != back.Differences[0].Code {
		t.Errorf("%s there, %s back", there.Differences[0].Code, back.Differences[0].Code)
	}
}

// A pair of temperatures of real cells: what is found is a change of the arcs that many degrees would make.
func TestRealPairs(t *testing.T) {
	_, inputs := realJob(t, "cylindrical-temperature")
	a, b := inputs[0], inputs[1] // 25 and 10 °C
	got := Compare(Evidence{}, a, b)
	if got.Differences[0].Code != "temperature" {
		t.Errorf("%+v", got.Differences)
	}
	_, inputs = realJob(t, "coin-25c")
	got = Compare(Evidence{}, inputs[3], inputs[4]) // seated anew between the two: 68 mΩ less, the same arcs
	if got.Differences[0].Code != "contact" || got.Shift.Estimate() > -0.06 || got.Shift.Estimate() < -0.075 {
		t.Errorf("%+v, shift %v", got.Differences, got.Shift)
	}
}
