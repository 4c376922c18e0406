package health

import (
	"slices"

	"ohmledger/fit"
	"ohmledger/fit/kramerskronig"
	"ohmledger/fit/spectrum"
	"ohmledger/health/job"
)

// sight is what a check looks at. Fit and baseline are nil until they are there.
type sight struct {
	job      *job.Job
	row      *job.Measurement
	spectrum *spectrum.Spectrum
	kk       *kramerskronig.Result
	fit      *fit.Result
	baseline *footing
}

// stage says when a check can be made.
type stage int

const (
	onReading   stage = iota // before the fit: what is rejected here does not weigh on the cell's other spectra
	onFit                    // with the fit
	onComparing              // with the baseline
)

// check is one thing that may be wrong with a measurement, and what follows from it.
type check struct {
	code     string
	stage    stage
	severity Severity
	touches  []job.Quantity
	see      func(v *sight) string // what was seen, as a sentence; empty: nothing
	advice   string
}

// Quantities that findings touch together.
var (
	withLeads = []job.Quantity{job.OhmicOhm, job.ACResistance1kHzOhm, job.OhmicGrowth, job.TotalResistanceGrowth}
	growths   = []job.Quantity{job.OhmicGrowth, job.ChargeTransferGrowth, job.TotalResistanceGrowth, job.ResistanceStateOfHealth}
	fromFit   = append([]job.Quantity{job.OhmicOhm, job.ChargeTransferOhm}, growths...)
	fromZ     = append([]job.Quantity{job.ACResistance1kHzOhm}, fromFit...)
)

const codeTemperature = "temperature-outside-range"

// checks are all of them, in the order in which findings are listed.
var checks = []check{
	{"points-out-of-order", onReading, Note, nil, noted(spectrum.OutOfOrder),
		"Nothing to do: the points were sorted. Make sure that the file holds one sweep and not two."},
	{"frequency-doubled", onReading, Note, nil, noted(spectrum.Doubled),
		"Make sure that the file holds one sweep and not two; the points all count."},
	{"columns-mapped", onReading, Note, nil, noted(spectrum.Mapped),
		"Make sure once that job.yaml's columns say what the instrument wrote."},
	{"two-wire-sensing", onReading, Warning, withLeads, seeTwoWire,
		"Measure with four wires: two clips a tab, the sensing pair inside. The arc still counts, the ohmic resistance does not."},
	{"sensing-unknown", onReading, Note, nil, seeSensingUnknown,
		"State in the column sensing whether two or four wires went to the cell."},
	{codeTemperature, onReading, Warning, fromZ, seeTemperature,
		"Let the cell settle at a temperature inside the range and measure again."},
	{"state-of-charge-off-target", onReading, Warning, fromZ, seeSOCOffTarget,
		"Bring the cell to the state of charge that the job asks for, let it rest, and measure again."},
	{"state-of-charge-unknown", onReading, Note, nil, seeSOCUnknown,
		"State it in the column soc_percent: the arcs depend on it."},
	{"rest-too-short", onReading, Warning, nil, seeRestShort,
		"Let the cell rest as long as the job asks before the next sweep: a cell that still relaxes drifts at low frequency."},
	{"rest-unknown", onReading, Note, nil, seeRestUnknown,
		"State the rest before the sweep in the column rest_minutes."},
	{"calibration-expired", onReading, Warning, nil, seeCalibration,
		"Have the instrument calibrated, or show that it has not moved, before the results are issued."},
	{"kramers-kronig-untested", onReading, Note, nil, seeUntested,
		"Measure over more points and a wider band if consistency is to be shown."},
	{"sign-reversed", onReading, Reject, nil, seeSignReversed,
		"State the sign of the imaginary part in job.yaml's columns, or export the spectrum again."},
	{"kramers-kronig-violated", onReading, Reject, nil, seeViolated,
		"Check clips and leads, let the cell rest, and measure again; lower the excitation if it was large."},
	{"kramers-kronig-doubtful", onReading, Warning, nil, seeDoubtful,
		"Look at the residuals: drift at low frequency asks for more rest, single points for a shield against pick-up."},
	{"fit-impossible", onFit, Reject, nil, seeFitImpossible,
		"Measure from about 10 kHz to 0.1 Hz or lower, with five points a decade at least."},
	{"fit-not-converged", onFit, Warning, fromFit, seeNotConverged,
		"Look at the spectrum: a shape that the circuit cannot follow is often a contact or a cell that changed during the sweep."},
	{"sensing-differs", onComparing, Warning, []job.Quantity{job.OhmicGrowth, job.TotalResistanceGrowth}, seeSensingDiffers,
		"Measure with the wires of the baseline: the difference of the leads looks like ohmic growth. The arc still counts."},
	{"state-of-charge-differs", onComparing, Warning, growths, seeSOCDiffers,
		"Measure at the state of charge of the baseline."},
	{"instrument-differs", onComparing, Note, nil, seeInstrumentDiffers,
		"Nothing to do: the scale of both instruments counts in the uncertainty."},
}

// FindingCodes are the codes of all findings that there can be, in the order in which they are listed.
func FindingCodes() []string {
	codes := make([]string, len(checks))
	for i, c := range checks {
		codes[i] = c.code
	}
	return codes
}

// inspect makes the checks of one stage and settles whether the measurement counts.
func (m *Measurement) inspect(at stage, j *job.Job, f *footing) {
	v := &sight{j, &m.Row, m.Spectrum, m.Quality.KramersKronig, m.Fit, f}
	for _, c := range checks {
		if c.stage != at {
			continue
		}
		if seen := c.see(v); seen != "" {
			m.Quality.Findings = append(m.Quality.Findings, Finding{c.code, c.severity, slices.Clone(c.touches), seen, c.advice})
		}
	}
	m.Quality.settle(m.Row.Accept)
}

// settle decides whether a measurement counts: no finding rejects it, or the user says why it counts after all.
func (q *Quality) settle(reason string) {
	q.Accepted, q.AcceptedByHand = true, ""
	for _, f := range q.Findings {
		if f.Severity == Reject {
			q.Accepted, q.AcceptedByHand = reason != "", reason
		}
	}
}

// touchingBut is touching without the findings of one code.
func (m *Measurement) touchingBut(code string, q job.Quantity) string {
	for _, f := range m.Quality.Findings {
		if f.Code != code && slices.Contains(f.Touches, q) {
			return f.Message
		}
	}
	return ""
}
