package health

import (
	"slices"

	"ohmledger/fit"
	"ohmledger/fit/kramerskronig"
	"ohmledger/fit/spectrum"
	"ohmledger/health/job"
)

// sight is what a check looks at. What is not there yet at a check's stage is nil.
type sight struct {
	job      *job.Job // nil where nothing is stated about the measurement
	row      *job.Measurement
	spectrum *spectrum.Spectrum
	kk       *kramerskronig.Result
	fit      *fit.Result
	fixture  *Fixture
	past     *past
	baseline *footing
}

// stage says when a check can be made.
type stage int

const (
	onReading   stage = iota // of the spectrum before the fit: what is rejected here does not weigh on the cell's other spectra
	onStating                // of what is stated about the measurement
	onFit                    // with the fit
	onHistory                // with the cell's other measurements
	onComparing              // with the baseline
)

// check is one thing that may be wrong with a measurement. Its words are the blocks finding.CODE.seen, .size, .likely and .do.
type check struct {
	code string
	stage
	consequence
	see func(v *sight) []Fact // what was seen; nil: nothing
}

// consequence is what follows from a finding: the only place where that is said.
type consequence struct {
	severity Severity
	touches  []job.Quantity // what it makes not comparable
}

// Quantities that findings touch together.
var (
	withLeads = []job.Quantity{job.OhmicOhm, job.ACResistance1kHzOhm, job.OhmicGrowth, job.TotalResistanceGrowth}
	withArc   = []job.Quantity{job.ChargeTransferOhm, job.ChargeTransferGrowth, job.TotalResistanceGrowth, job.ResistanceStateOfHealth}
	growths   = []job.Quantity{job.OhmicGrowth, job.ChargeTransferGrowth, job.TotalResistanceGrowth, job.ResistanceStateOfHealth}
	fromFit   = append([]job.Quantity{job.OhmicOhm, job.ChargeTransferOhm}, growths...)
	fromZ     = append([]job.Quantity{job.ACResistance1kHzOhm}, fromFit...)
)

// note, warns and rejects are consequences in short.
var (
	note    = consequence{severity: Note}
	warns   = consequence{severity: Warning}
	rejects = consequence{severity: Reject}
)

func touching(quantities ...job.Quantity) consequence { return consequence{Warning, quantities} }

// nothing is what a check returns that sees nothing; seen gathers the facts of one that sees something.
var nothing []Fact

func seen(facts ...Fact) []Fact { return append([]Fact{}, facts...) }

// FindingCodes are the codes of all findings that there can be, in the order in which they are listed.
func FindingCodes() []string {
	codes := make([]string, len(checks))
	for i, c := range checks {
		codes[i] = c.code
	}
	return codes
}

// inspect makes the checks of one stage and settles whether the measurement counts.
func (g grounds) inspect(m *Measurement, at stage, p *past, f *footing) {
	v := &sight{g.job, m.Row, m.Spectrum, m.Quality.KramersKronig, m.Fit, m.Fixture, p, f}
	for _, c := range checks {
		if c.stage != at {
			continue
		}
		if facts := c.see(v); facts != nil {
			m.Quality.Findings = append(m.Quality.Findings, g.say.finding(c, facts))
		}
	}
	m.Quality.settle(m.Row.Accept)
}

// findingBlock begins the names of the blocks of findings.
const findingBlock = "finding."

// finding puts what a check saw into words: what was seen, how big, what it most likely is; and what to do.
func (p Phrase) finding(c check, facts []Fact) Finding {
	message, advice := p.sentences(findingBlock+c.code, facts)
	return Finding{Code: c.code, Severity: c.severity, Touches: slices.Clone(c.touches), Message: message, Advice: advice, Facts: facts}
}

// sentences are the four parts of what a check says, the first three together.
func (p Phrase) sentences(block string, facts []Fact) (message, advice string) {
	if p == nil {
		return plainly(block, facts), ""
	}
	message = p.saying(block+".seen", facts) + " " + p.saying(block+".size", facts) + " " + p.saying(block+".likely", facts)
	return once(message), p.saying(block+".do", facts)
}

// Part is one of the four things that a finding says: seen, size, likely or do. What stands within its facts is put into words first.
func (p Phrase) Part(f Finding, part string) string {
	return p.saying(findingBlock+f.Code+"."+part, f.Facts)
}

// statement is the finding as a reason for something else: what was seen and how big.
func (f Finding) statement() Statement { return Statement{findingBlock + f.Code, f.Facts} }

// settle decides whether a measurement counts: no finding rejects it, or the user says why it counts after all.
func (q *Quality) settle(reason string) {
	q.Accepted, q.AcceptedByHand = true, ""
	if q.Gravest() == Reject {
		q.Accepted, q.AcceptedByHand = reason != "", reason
	}
}

// Gravest is the severity of the gravest finding; none: 0.
func (q *Quality) Gravest() (s Severity) {
	for _, f := range q.Findings {
		s = max(s, f.Severity)
	}
	return s
}

// Has reports whether there is a finding of a code.
func (q *Quality) Has(code string) bool {
	return slices.ContainsFunc(q.Findings, func(f Finding) bool { return f.Code == code })
}
