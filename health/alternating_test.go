package health

import (
	"math"
	"math/cmplx"
	"testing"

	"ohmledger/fit/spectrum"
	"ohmledger/health/job"
)

// grid measures the cell without noise from one frequency down to another, so many points a decade.
func grid(fromHz, toHz, perDecade float64) *spectrum.Spectrum {
	s := &spectrum.Spectrum{}
	for k := 0; ; k++ {
		f := fromHz * math.Pow(10, -float64(k)/perDecade)
		if f < toHz*(1-1e-9) {
			return s
		}
		s.Frequency = append(s.Frequency, f)
		s.Impedance = append(s.Impedance, fresh.Impedance(f))
	}
}

// The full-cell vector at 1 kHz, 20.1523050340 + 0.829937031481j mΩ (computed from the closed form: 0.2 µH, 20 mΩ, 15 mΩ with a
// constant-phase element of 2 Ω⁻¹s^0.8 and Warburg's 1.5 mΩ/√s). Its a.c. value of 20.17 mΩ is neither the ohmic resistance nor that and the arc.
func TestACResistanceOfTheFullCell(t *testing.T) {
	const want = 0.020169388
	near(t, "vector", want, math.Hypot(0.0201523050340, 0.000829937031481), 1e-9)
	tau := math.Pow(2*0.015, 1/0.8)
	cell := fresh
	cell.ChargeTransferTimeConstant = tau
	for _, perDecade := range []float64{3.3, 5, 7, 10} { // none with a point at 1 kHz but the last
		s := &spectrum.Spectrum{}
		for k := 0; k < int(5*perDecade); k++ {
			f := 1e4 * math.Pow(10, -float64(k)/perDecade)
			s.Frequency, s.Impedance = append(s.Frequency, f), append(s.Impedance, cell.Impedance(f))
		}
		v, doubt := acResistance(s, job.Instrument{})
		off := math.Abs(v.Estimate() - want)
		if off > 2e-4*want || off > 1e-9 && off > doubt || doubt > 0.004*want {
			t.Errorf("%v points a decade: %v ± %v, off by %v", perDecade, v.Estimate(), doubt, off)
		}
	}
	v, _ := acResistance(grid(1e4, 1, 10), job.Instrument{RelativeUncertainty: 0.002, AbsoluteUncertaintyOhm: 2e-5})
	near(t, "instrument", v.StandardUncertainty(), math.Hypot(0.002*v.Estimate(), 2e-5), 1e-12)
}

func TestACResistanceNeedsTheBand(t *testing.T) {
	for _, c := range []struct {
		fromHz, toHz float64
		had          bool
	}{{1e4, 1, true}, {1000, 1, true}, {960, 1, true}, {940, 1, false}, {1e5, 1000, true}, {1e5, 1040, true}, {1e5, 1060, false}} {
		s := grid(c.fromHz, c.toHz, 10)
		s.Frequency[len(s.Frequency)-1] = c.toHz
		s.Impedance[len(s.Impedance)-1] = fresh.Impedance(c.toHz)
		v, doubt := acResistance(s, job.Instrument{})
		if v.Known() != c.had {
			t.Errorf("%v Hz to %v Hz: %v", c.fromHz, c.toHz, v)
		}
		if c.had && math.Abs(v.Estimate()-cmplx.Abs(fresh.Impedance(1000))) > doubt+1e-12 {
			t.Errorf("%v Hz to %v Hz: off by more than the %v that it says", c.fromHz, c.toHz, doubt)
		}
	}
	if v, _ := acResistance(&spectrum.Spectrum{}, job.Instrument{}); v.Known() {
		t.Error("a value from nothing")
	}
	one := &spectrum.Spectrum{Frequency: []float64{1000}, Impedance: []complex128{1}}
	if v, _ := acResistance(one, job.Instrument{}); v.Known() {
		t.Error("a value from one point has no error that can be told")
	}
}

func TestACResistanceOfDoubledPoints(t *testing.T) {
	s := &spectrum.Spectrum{Frequency: []float64{2000, 1000, 1000, 500, 500}, Impedance: []complex128{1, 2, 4, 5, 5}}
	v, _ := acResistance(s, job.Instrument{})
	near(t, "mean of both", v.Estimate(), 3, 1e-12)
}
