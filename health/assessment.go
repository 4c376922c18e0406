package health

import (
	"time"

	"ohmledger/fit"
	"ohmledger/fit/kramerskronig"
	"ohmledger/fit/spectrum"
	"ohmledger/health/job"
)

// Assessment is everything that was found out about the cells of a job: plain data,
// complete when returned, never changed after. Cells stand in the job's order.
type Assessment struct {
	Job         *job.Job
	Verdict     Verdict
	Counts      Counts
	Cells       Cells
	Temperature Temperature
	Doubts      []fit.Doubt // about the job as a whole
	Lot         *Lot        // nil where there is one cell only
}

// Verdict is a statement of conformity, of a criterion or of a cell. Unset it is NotEvaluated.
type Verdict int

const (
	NotEvaluated Verdict = iota
	Pass
	ConditionalPass
	ConditionalFail
	Fail
)

// String gives the word that machines read and reports show.
func (v Verdict) String() string {
	return [...]string{"not evaluated", "pass", "conditional pass", "conditional fail", "fail"}[v]
}

// Counts of cells by verdict.
type Counts struct{ Pass, ConditionalPass, ConditionalFail, Fail, NotEvaluated int }

// Cell is what was found out about one cell.
type Cell struct {
	Name         string
	Verdict      Verdict
	Reason       string // one sentence: what decided the verdict
	Because      Statement
	Grade        string // empty: none was asked for or met
	Arcs         int
	ArcsChoice   string // why one arc or two
	Baseline     Baseline
	Measurements []Measurement // in time order
	Criteria     []Criterion   // in the order of job.Limits
	Latest       int           // index of the measurement that is judged, −1 where there is none
	Trend        []Trend
	Values       []QuantityValue // of all LotQuantities, at the measurement that is judged
	Grading      *Grading        // nil where the job has no grades
	Departures   []Departure     // from the reference cells, where the baseline is such
}

// Baseline is what growth is measured against. Ohmic and ChargeTransfer are at TemperatureC.
type Baseline struct {
	Source                                                job.BaselineSource
	Ohmic, ChargeTransfer, Polarisation, ACResistance1kHz fit.Value // ohm
	CapacityAh                                            fit.Value
	TemperatureC, TemperatureUncertaintyC                 float64
	SOCPercent                                            *float64
	MeasuredAt                                            time.Time   // of the earliest that counts; zero for declared
	Measurements                                          []int       // of the cell, for source first
	Cells                                                 []string    // for reference-cells
	Note                                                  string      // plain words, one or two sentences; also why there is none
	Statements                                            []Statement // what Note says, for machines
}

// Measurement is one spectrum of a cell with what follows from it.
type Measurement struct {
	Row      *job.Measurement   // of the table
	SHA256   string             // of the spectrum file
	Spectrum *spectrum.Spectrum // that was tested and fitted: of the cell without the fixture, where a correction is subtracted
	Quality  Quality
	Fit      *fit.Result

	Fixture *Fixture // what was subtracted for leads and fixture; nil: nothing

	ACResistance1kHz                               fit.Value // ohm, |Z| at 1 kHz of Spectrum
	interpolation                                  float64   `plain:"derived"` // ohm, the part of its uncertainty that interpolating gave
	OhmicAtReference, ChargeTransferAtReference    fit.Value // ohm, at the reference temperature
	OhmicGrowth, ChargeTransferGrowth, TotalGrowth Growth
	CapacityRetention                              fit.Value // 1
	ResistanceStateOfHealth                        fit.Value // 1
}

// Quality is what the checks of one spectrum say.
type Quality struct {
	Accepted       bool
	AcceptedByHand string // the user's reason, where a rejected spectrum counts after all
	Findings       []Finding
	KramersKronig  *kramerskronig.Result // nil where the test could not be made
}

// Finding is one observation about a measurement, with what to do about it.
type Finding struct {
	Code     string // stable, kebab-case
	Severity Severity
	Touches  []job.Quantity // what it makes not comparable; empty: nothing, or for reject everything
	Message  string         // what was seen, how big, what it most likely is
	Advice   string         // what to do
	Facts    []Fact         // what Message and Advice state
}

// Severity says what follows from a finding.
type Severity int

const (
	Note Severity = iota + 1
	Warning
	Reject
)

// String gives the word that machines read.
func (s Severity) String() string { return [...]string{"", "note", "warning", "reject"}[s] }

// Growth is a resistance over its baseline, corrected for temperature as a ratio.
type Growth struct {
	Ratio         fit.Value      // R/R_b at equal temperature, 1
	LogU          float64        // standard uncertainty of ln Ratio, 1; decide on this
	Contributions []Contribution // of the measurement that is judged; nil of the others of its cell
	Reason        string         // why there is no Ratio
	Because       Statement      // what Reason says
}

// Contribution is one line of an uncertainty budget.
type Contribution struct {
	Source string  // plain words: "fit of this spectrum", "cell temperature", "activation energy", …
	U      float64 // standard uncertainty that it gives the result, in the result's unit (ln ratio: 1)
	Share  float64 // of the variance, 0 to 1; correlated terms may be negative
}

// Criterion is the judgement of one quantity of one cell against one limit.
type Criterion struct {
	Quantity                job.Quantity
	Value                   fit.Value // in the unit of the quantity
	Unstated                bool      // nobody states an uncertainty of Value: it is unknown and not the zero that Value holds
	ExpandedUncertainty     float64   // k·u of Value, NaN where not evaluated or unstated
	Lower, Upper            float64   // coverage interval at the rule's k; asymmetric for growths; NaN likewise
	Limit                   float64
	Side                    job.Side
	AcceptanceLimit         float64 // limit moved by the guard band; equal to Limit for simple acceptance; NaN where not evaluated
	Verdict                 Verdict
	Reason                  string    // one sentence, always set
	Because                 Statement // what Reason says
	ProbabilityOfConformity float64   // NaN where not evaluated, or where the uncertainty is unstated
	Contributions           []Contribution
}

// Temperature is the correction in force; activation energies in kJ/mol.
type Temperature struct {
	Source                job.CorrectionSource
	Ohmic, ChargeTransfer fit.Value // kJ/mol
	// How far the series are from straight lines, where the correction is measured.
	OhmicMisfit, ChargeTransferMisfit SeriesMisfit
	// ByCell holds each cell's own regression where the correction is measured.
	Series []ArrheniusSeries
	Note   string
}

// ArrheniusSeries is the weighted regression of ln R on 1/T for one cell and one resistance.
type ArrheniusSeries struct {
	Cell             string
	Element          fit.Element
	ActivationEnergy fit.Value // kJ/mol
	Points           []ArrheniusPoint
	RMSResidual      float64 // of ln R, 1
	Reason           string  // why the series was not used; empty where it was
}

// ArrheniusPoint is one measured resistance at one temperature.
type ArrheniusPoint struct {
	TemperatureC      float64
	ResistanceOhm     float64
	LogU, LogResidual float64 // standard uncertainty of ln R; measured minus line
	MeasurementOfCell int
}

// Trend is how a growth went on, and where it leads: an opinion, never a result.
type Trend struct {
	Quantity job.Quantity
	Against  string // "days", "cycles" or "throughput_ah"
	Law      string
	Rate     fit.Value // of the growth per unit of Against
	Reason   string    // why there is no crossing
	Crosses  *Crossing
	Because  Statement // what Reason says
	Course   *Course   // what it rests on; always set
}

// Crossing is where a trend meets its limit, in units of Against.
type Crossing struct {
	Value, Lower95, Upper95 float64      // Upper95 infinite: not within twice the observed span
	WithShared              fit.Interval // 95 %, the uncertainty that all points share included
}
