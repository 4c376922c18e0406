package report

import (
	"math"

	"ohmledger/fit"
	"ohmledger/health"
)

type exclusionForm struct {
	FrequencyHz float64 `json:"frequency_hz"`
	Reason      string  `json:"reason"`
}

func exclusionOf(e fit.Exclusion) exclusionForm { return exclusionForm{e.FrequencyHz, e.Reason} }

type parametersForm struct {
	Inductance                 fit.Value `json:"inductance_h"`
	InductanceExponent         fit.Value `json:"inductance_exponent"`
	Ohmic                      fit.Value `json:"ohmic_ohm"`
	Film                       fit.Value `json:"film_ohm"`
	FilmTimeConstant           fit.Value `json:"film_time_constant_s"`
	FilmExponent               fit.Value `json:"film_exponent"`
	ChargeTransfer             fit.Value `json:"charge_transfer_ohm"`
	ChargeTransferTimeConstant fit.Value `json:"charge_transfer_time_constant_s"`
	ChargeTransferExponent     fit.Value `json:"charge_transfer_exponent"`
	AllArcs                    fit.Value `json:"all_arcs_ohm"`
	Warburg                    fit.Value `json:"warburg_ohm_per_sqrt_s"`
	DiffusionExponent          fit.Value `json:"diffusion_exponent"`
}

func parametersOf(r *fit.Result) parametersForm {
	return parametersForm{
		r.Inductance, r.InductanceExponent, r.Ohmic, r.Film, r.FilmTimeConstant, r.FilmExponent,
		r.ChargeTransfer, r.ChargeTransferTimeConstant, r.ChargeTransferExponent, r.Polarisation,
		r.Warburg, r.DiffusionExponent,
	}
}

// unresolvedForm says why a resistance has no value.
type unresolvedForm struct {
	Quantity string `json:"quantity"`
	Reason   string `json:"reason"`
}

func unresolvedOf(reasons map[fit.Element]string) []unresolvedForm {
	out := []unresolvedForm{}
	for _, e := range fittedResistances {
		if reason := reasons[e]; reason != "" {
			out = append(out, unresolvedForm{elementName(e), reason})
		}
	}
	return out
}

type fitForm struct {
	Converged        bool             `json:"converged"`
	Status           string           `json:"status"`
	Arcs             *int             `json:"arcs"`
	PointsMeasured   int              `json:"points_measured"`
	PointsUsed       int              `json:"points_used"`
	PointsExcluded   []exclusionForm  `json:"points_excluded"`
	RMSResidual      finite           `json:"rms_residual"`
	ChiSquareReduced finite           `json:"chi_square_reduced"`
	RunsZ            finite           `json:"runs_z"`
	Condition        finite           `json:"condition"`
	Parameters       parametersForm   `json:"parameters"`
	Unresolved       []unresolvedForm `json:"unresolved"`
	Intervals95      []interval95Form `json:"intervals_95"`
	Doubts           []doubtForm      `json:"doubts"`
}

// interval95Form is a 95 % interval by profile likelihood, in ohm.
type interval95Form struct {
	Quantity string `json:"quantity"`
	Lower    finite `json:"lower"`
	Upper    finite `json:"upper"`
}

func intervals95Of(intervals map[fit.Element]fit.Interval) []interval95Form {
	out := []interval95Form{}
	for _, e := range fittedResistances {
		if i, has := intervals[e]; has {
			out = append(out, interval95Form{elementName(e), finite(i.Lower), finite(i.Upper)})
		}
	}
	return out
}

func fitOf(m *health.Measurement) fitForm {
	r := m.Fit
	if r == nil {
		r = &fit.Result{}
	}
	form := fitForm{
		Converged: r.Status == fit.Converged, Status: r.Status.String(),
		PointsUsed: r.PointsUsed, PointsExcluded: each(r.Excluded, exclusionOf),
		RMSResidual: finite(r.RMSResidual), ChiSquareReduced: finite(r.ChiSquare), RunsZ: finite(r.RunsZ), Condition: finite(r.Condition),
		Parameters: parametersOf(r), Unresolved: unresolvedOf(r.Unresolved), Intervals95: intervals95Of(r.Intervals), Doubts: doubtsOf(r.Doubts),
	}
	if m.Spectrum != nil {
		form.PointsMeasured = len(m.Spectrum.Frequency)
	}
	if r.Arcs > 0 {
		form.Arcs = &r.Arcs
	}
	if r.PointsUsed == 0 { // nothing was fitted, so that nothing is left over
		none := finite(math.NaN())
		form.RMSResidual, form.ChiSquareReduced, form.RunsZ, form.Condition = none, none, none, none
	}
	return form
}
