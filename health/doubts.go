package health

import (
	"slices"

	"ohmledger/fit"
	"ohmledger/health/job"
)

// plausible is what an activation energy may be without a second look, kJ/mol. Charge transfer on lithium-ion electrodes: 32 to
// 70 (Yamada et al., Langmuir 25 (2009) 12766; Ogumi et al., Carbon 42 (2004) 3183). Ohmic: 5 to 20, less with much
// metal in the path (common practice).
type plausible struct{ low, high float64 }

var (
	plausibleOhmic          = plausible{0, 30}
	plausibleChargeTransfer = plausible{25, 90}
)

func (p plausible) doubts(v fit.Value) bool {
	return v.Known() && (v.Estimate() < p.low || v.Estimate() > p.high)
}

// doubts about the job as a whole.
func (g grounds) doubts(a *Assessment) (list []fit.Doubt) {
	for _, d := range []struct {
		code  string
		holds bool
	}{
		{"series-confounded-with-ageing", a.seriesJudged()},
		{"series-not-arrhenius", a.Temperature.OhmicMisfit.Significant || a.Temperature.ChargeTransferMisfit.Significant},
		{"activation-energy-unusual", a.unusualEnergy()},
		{"capacity-without-uncertainty", a.limited(job.CapacityAh, job.CapacityRetention)},
		{"fixture-correction-not-applied", a.Job.FixtureCorrection != nil && g.short == nil},
		{"fixture-not-like-leads", g.short.unlikeLeads()},
	} {
		if d.holds {
			list = append(list, fit.Doubt{Code: d.code, Text: g.say.saying("doubt."+d.code, nil)})
		}
	}
	for _, d := range limitDoubts(a.Job) {
		d.Text = g.say.Doubt(d)
		list = append(list, d)
	}
	return list
}

// seriesJudged reports whether a cell that is its own baseline gave an activation energy.
func (a *Assessment) seriesJudged() bool {
	return a.Job.Baseline.Source != job.ReferenceCells && a.Job.Baseline.Source != job.Declared &&
		slices.ContainsFunc(a.Temperature.Series, func(s ArrheniusSeries) bool { return s.Reason == "" })
}

func (a *Assessment) unusualEnergy() bool {
	return plausibleOhmic.doubts(a.Temperature.Ohmic) || plausibleChargeTransfer.doubts(a.Temperature.ChargeTransfer)
}

// limited reports whether a limit or a grade rests on one of the quantities.
func (a *Assessment) limited(quantities ...job.Quantity) bool {
	limits := slices.Clone(a.Job.Limits)
	for _, g := range a.Job.Grades {
		limits = append(limits, g.Limits...)
	}
	return slices.ContainsFunc(limits, func(l job.Limit) bool { return slices.Contains(quantities, l.Quantity) })
}
