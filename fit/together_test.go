package fit

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"ohmledger/fit/spectrum"
)

// lotOf is cells of one build whose resistances scatter, each measured once, with noise of 0.1 % in each part.
func lotOf(cells int) (histories [][]Measured, truth []Parameters) {
	random := rand.New(rand.NewPCG(21, 22))
	for range cells {
		p := Parameters{LeadCoefficient: 1e-7, LeadExponent: 1, Ohmic: 0.018 * math.Exp(0.05*random.NormFloat64()),
			ChargeTransfer: 0.022 * math.Exp(0.1*random.NormFloat64()), ChargeTransferTimeConstant: 0.02, ChargeTransferExponent: 0.85,
			Diffusion: 0.0025 * math.Sqrt2, DiffusionExponent: 0.5}
		s := &spectrum.Spectrum{}
		for k := range 40 {
			hz := math.Pow(10, 4-6*float64(k)/39)
			z := p.Impedance(hz)
			noise := 0.001 * math.Hypot(real(z), imag(z))
			s.Frequency = append(s.Frequency, hz)
			s.Impedance = append(s.Impedance, z+complex(noise*random.NormFloat64(), noise*random.NormFloat64()))
		}
		histories = append(histories, []Measured{{Spectrum: s, TemperatureC: 23 + 4*random.Float64(), RelativeNoise: 0.001}})
		truth = append(truth, p)
	}
	return histories, truth
}

// TestLedFitsAreThoseOfAll: of a lot larger than what settles the exponents, a cell that is led has nearly the result of a fit of
// all together, and covers the truth as often as its uncertainty says.
func TestLedFitsAreThoseOfAll(t *testing.T) {
	histories, truth := lotOf(mostTogether + 60)
	c := Together(histories)
	if len(c.place) != mostTogether {
		t.Fatalf("%d histories settle what all share", len(c.place))
	}
	all := settled(histories)
	led, beyond := 0, 0
	for h := range histories {
		if _, is := c.place[h]; is {
			continue
		}
		got, want := c.History(h).Results[0], all.history(h).Results[0]
		led++
		for _, e := range []Element{Ohmic, ChargeTransfer, Polarisation} {
			a, b := got.Resistance(e), want.Resistance(e)
			if math.Abs(a.Estimate()-b.Estimate()) > 0.3*b.StandardUncertainty() || math.Abs(math.Log(a.StandardUncertainty()/b.StandardUncertainty())) > 0.1 {
				t.Errorf("%d %v: %v ± %v, all together %v ± %v", h, e, a.Estimate(), a.StandardUncertainty(), b.Estimate(), b.StandardUncertainty())
			}
		}
		if got.Arcs != want.Arcs || got.Status != Converged || math.Abs(math.Log(got.ChiSquare/want.ChiSquare)) > 0.05 {
			t.Errorf("%d: %d arcs, %v, chi-square %v; all together %d and %v", h, got.Arcs, got.Status, got.ChiSquare, want.Arcs, want.ChiSquare)
		}
		if v := got.ChargeTransfer; math.Abs(v.Estimate()-truth[h].ChargeTransfer) > 2*math.Hypot(v.StandardUncertainty(), got.LogModelU[ChargeTransfer]*v.Estimate()) {
			beyond++
		}
	}
	// Of 60 at 95.45 % about 3 lie beyond; more than 9 in one of a thousand lots (binomial).
	if led != 60 || beyond > 9 {
		t.Errorf("%d of %d led results miss the truth by more than twice their uncertainty", beyond, led)
	}
}

// TestLedFitsStandAlone: a result does not rest on which others were asked for, nor on when.
func TestLedFitsStandAlone(t *testing.T) {
	histories, _ := lotOf(mostTogether + 20)
	one, other := Together(histories), Together(histories)
	for h := range slices.Backward(histories) {
		_ = other.History(h)
	}
	for _, h := range []int{0, 5, 17, 100, mostTogether + 19} {
		a, b := one.History(h).Results[0], other.History(h).Results[0]
		if !reflect.DeepEqual(a, b) {
			t.Errorf("%d: %+v, then %+v", h, a.Parameters, b.Parameters)
		}
	}
}

// TestSelection is spread over all, and all where there are few.
func TestSelection(t *testing.T) {
	single := make([][]Measured, 1000)
	for i := range single {
		single[i] = make([]Measured, 1)
	}
	s := selection(single)
	if len(s) != mostTogether || s[0] != 0 || s[len(s)-1] != 999 || !slices.IsSorted(s) || len(slices.Compact(s)) != mostTogether {
		t.Errorf("%v", s)
	}
	long := [][]Measured{make([]Measured, 500), make([]Measured, 500), make([]Measured, 500)}
	if s := selection(long); len(s) != 1 {
		t.Errorf("%v", s)
	}
	if s := selection(single[:7]); len(s) != 7 {
		t.Errorf("%v", s)
	}
}
