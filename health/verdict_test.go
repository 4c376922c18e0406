package health

import (
	"math"
	"slices"
	"testing"

	"ohmledger/health/job"
)

// A cell's reason names every limit that it fails, the worst first; of a cell that was not evaluated it names one.
func TestReasonNamesEveryFailure(t *testing.T) {
	criterion := func(q job.Quantity, v Verdict, p float64) Criterion {
		return Criterion{Quantity: q, Verdict: v, ProbabilityOfConformity: p, Unstated: math.IsNaN(p)}
	}
	failing := []Criterion{
		criterion(job.ChargeTransferGrowth, Fail, 0.9), criterion(job.OhmicOhm, Pass, 1),
		criterion(job.OhmicGrowth, Fail, 1e-4), criterion(job.CapacityRetention, Fail, math.NaN()),
	}
	for _, c := range []struct {
		criteria []Criterion
		verdict  Verdict
		want     []string
	}{
		{failing, Fail, []string{"capacity_retention", "ohmic_growth", "charge_transfer_growth"}},
		{failing[:1], Fail, []string{"charge_transfer_growth"}},
		{[]Criterion{criterion(job.OhmicGrowth, NotEvaluated, math.NaN()), criterion(job.CapacityAh, NotEvaluated, math.NaN())}, NotEvaluated, []string{"ohmic_growth"}},
	} {
		s := specimen{Cell: &Cell{}}
		s.Criteria = c.criteria
		if got := namedBy(s.decisive(c.verdict)); !slices.Equal(got, c.want) {
			t.Errorf("%v, want %v", got, c.want)
		}
	}
}

// namedBy are the quantities that a statement names, in its order.
func namedBy(s Statement) (quantities []string) {
	for _, f := range s.Facts {
		switch {
		case f.Name == "quantity":
			quantities = append(quantities, f.Text)
		case f.Within != nil:
			quantities = append(quantities, namedBy(*f.Within)...)
		}
	}
	return quantities
}
