package pdf

import (
	"strings"
	"testing"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
)

// Rosner, Technometrics 25 (1983) 165: the largest step beyond its limit decides, so the steps before it count even where
// they are within theirs. Such a row claims no inequality that does not hold.
func TestMaskedOutliersClaimNothingFalse(t *testing.T) {
	d := delivery(t)
	c := compositionOf(t, d)
	q := &d.Assessment.Lot.Quantities[0]
	said := func(deviate, limit float64) string {
		o := health.Outlier{Cell: "X", Value: fit.NewValue(0.02, 1e-4), ByDeviate: true, Deviate: deviate, DeviateLimit: limit}
		return c.outlierRecord(q, o)[5].text
	}
	if got := said(3.4, 3.9); got != "3.40 ≤ 3.90, masked" {
		t.Errorf("masked: %q", got)
	}
	if got := said(4.1, 3.9); got != "4.10 > 3.90" {
		t.Errorf("beyond: %q", got)
	}
}

// Where the test finds as many as it looks for, the report says that there may be more.
func TestOutliersFoundUpToTheCeiling(t *testing.T) {
	d := delivery(t)
	lot := health.Lot{Quantities: []health.LotQuantity{{Quantity: job.OhmicOhm, Outliers: health.Outliers{Sought: 2, Cells: []health.Outlier{{ByDeviate: true}, {ByDeviate: true}, {}}}},
		{Quantity: job.ChargeTransferOhm, Outliers: health.Outliers{Sought: 3, Cells: []health.Outlier{{ByDeviate: true}, {}, {}}}}}}
	if got := compositionOf(t, d).full(&lot); len(got) != 1 || got[0].Sought != 2 || !strings.Contains(got[0].Quantity, "R") {
		t.Errorf("%v", got)
	}
}
