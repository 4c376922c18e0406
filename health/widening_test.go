package health

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"ohmledger/fit"
	"ohmledger/health/job"
)

// JCGM 100:2008, table G.2, t for 95.45 %.
func TestWideningPublished(t *testing.T) {
	for _, c := range []struct {
		free int
		t    float64
	}{{1, 13.97}, {2, 4.53}, {3, 3.31}, {4, 2.87}, {5, 2.65}, {10, 2.28}, {50, 2.05}} {
		near(t, fmt.Sprintf("t for %d", c.free), 2*widening(c.free), c.t, 0.0051)
	}
}

// held is the share in per cent of trials that hold.
func held(trials int, holds func() bool) (percent float64) {
	for range trials {
		if holds() {
			percent += 100 / float64(trials)
		}
	}
	return percent
}

func inClaim(t *testing.T, what string, percent float64) {
	t.Helper()
	if percent < 94 || percent > 97 {
		t.Errorf("%s: held in %.1f %% of the trials", what, percent)
	}
}

// An unaged cell beside few reference cells: growth 1 is inside two standard uncertainties in 95.45 %, however few they are.
func TestCoverageOfFewReferenceCells(t *testing.T) {
	if testing.Short() {
		t.Skip("numbers alone: nothing runs side by side that does not in other tests")
	}
	s := simulation{rand.New(rand.NewPCG(3, 9))}
	for _, n := range []int{2, 3, 5} {
		var names []string
		for k := range n {
			names = append(names, fmt.Sprintf("R%d", k))
		}
		drawn := func() float64 { return 0.015 * math.Exp(s.normal(0.06)) }
		inClaim(t, fmt.Sprintf("%d cells", n), held(4000, func() bool {
			cells := []*specimen{oneSpectrum("A", 25, drawn())}
			for _, name := range names {
				cells = append(cells, oneSpectrum(name, 25, drawn()))
			}
			o := founded(referenceJob(names...), cells...).growth(cells[0], 0, job.ChargeTransferGrowth, chargeTransfer)
			return math.Abs(math.Log(o.value.Estimate())) <= 2*o.logU
		}))
	}
}

// The slope through few points whose scatter nobody stated.
func TestCoverageOfSlopesThroughFewPoints(t *testing.T) {
	s := simulation{rand.New(rand.NewPCG(5, 9))}
	for _, n := range []int{3, 4, 6} {
		inClaim(t, fmt.Sprintf("%d points", n), held(4000, func() bool {
			x, y := make([]float64, n), make([]float64, n)
			for i := range x {
				x[i], y[i] = float64(i), 3*float64(i)+s.normal(0.4)
			}
			l := throughPoints(x, y, make([]float64, n))
			return math.Abs(l.slope-3) <= 2*l.uncertainty
		}))
	}
}

// One cell's own value, where few cells' values scatter by far more than each is uncertain.
func TestCoverageOfFewPooledCells(t *testing.T) {
	s := simulation{rand.New(rand.NewPCG(7, 9))}
	for _, n := range []int{2, 3, 5} {
		inClaim(t, fmt.Sprintf("%d cells", n), held(4000, func() bool {
			var values []fit.Value
			for range n {
				values = append(values, fit.NewValue(50+s.normal(4), 0.05))
			}
			p := pooled(values)
			return math.Abs(50+s.normal(4)-p.Estimate()) <= 2*p.StandardUncertainty()
		}))
	}
}
