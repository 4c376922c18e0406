package health

import (
	"math"
	"testing"

	"ohmledger/fit/spectrum"
	"ohmledger/health/job"
)

// driven is a history of two measurements, the second with a current whose peak voltage across the arc is as stated.
func driven(first, peakV float64) *bench {
	b := newBench()
	for k, v := range []float64{first, peakV} {
		r := row("A", 300*k, 25)
		r.AmplitudeA = pointer(v / math.Sqrt2 / fresh.ChargeTransfer)
		b.add(fresh, r)
	}
	return b
}

// An arc that a large excitation may have made smaller is stated with that in its budget, or not at all; what the baseline shares
// cancels.
func TestExcitationWeighsOnTheArc(t *testing.T) {
	growth := func(b *bench) Criterion {
		return criterionOf(t, b.assess(t).Cells.At(0), job.ChargeTransferGrowth)
	}
	for _, c := range []struct {
		first, peak float64
		short       float64 // of the second over the first
	}{{0.004, 0.004, 0}, {0.004, 0.03, shortfall(0.03)}, {0.03, 0.03, 0}} {
		k, got := growth(driven(c.first, c.peak)), 0.0
		for _, line := range k.Contributions {
			if line.Source == beyondLinear {
				got = line.U
			}
		}
		near(t, "line of the budget", got, c.short/math.Sqrt(3), 0.1*c.short/math.Sqrt(3)+1e-3)
		if k.Verdict != Pass {
			t.Errorf("%v V: %v %s", c.peak, k.Verdict, k.Reason)
		}
	}
	for _, b := range []*bench{driven(0.004, 0.06), driven(0.06, 0.004)} {
		if k := growth(b); k.Verdict != NotEvaluated || k.Because.Code != "arcs-overdriven" {
			t.Errorf("%v %v", k.Verdict, k.Because)
		}
	}
}

// What leads induce does not lie across the cell.
func TestInductanceIsNoExcitation(t *testing.T) {
	s := &spectrum.Spectrum{Frequency: []float64{1e4, 1}, Impedance: []complex128{0.02 + 0.3i, 0.03 - 0.04i}}
	near(t, "|Z|", answered(s), 0.05, 1e-15)
}
