package health

import (
	"context"
	"slices"

	"ohmledger/fit"
	"ohmledger/health/job"
)

// Check makes the checks of one spectrum that need no other one: of its points, of what e.Job and the row state about it, and
// of its fit. Without e.Job only the spectrum is looked at. Quality.Accepted of the result says whether it is worth keeping. Other
// inputs of the evidence are not looked at.
func Check(e Evidence, in Input) Measurement {
	g := e.grounds()
	s := g.single(in)
	_ = g.fitTogether(context.Background(), []*specimen{s}, map[*specimen]bool{s: true}, func(*specimen) {}) // a context that does not end gives no error
	return s.Measurements[0]
}

// single is a specimen of one spectrum, tested.
func (g grounds) single(in Input) *specimen {
	cells := specimens([]Input{in})
	s := cells[0]
	s.twins = make([]*twin, 1)
	g.tested(s)
	return s
}

// Tally counts the spectra of a job by what the checks found.
type Tally struct {
	Spectra        int
	Clean          int // nothing found, or notes only
	Warned         int // a warning is the gravest
	Rejected       int // not counted
	AcceptedByHand int // rejected, and counted after all
	Findings       []CodeTally
}

// CodeTally counts the findings of one code.
type CodeTally struct {
	Code           string
	Severity       Severity
	Spectra, Cells int
}

// Tally sums up what was found, the gravest codes first, else in the order of FindingCodes.
func (a *Assessment) Tally() (t Tally) {
	byCode := map[string]*CodeTally{}
	for _, c := range a.Cells.All() {
		inCell := map[string]bool{}
		for i := range c.Measurements {
			q := &c.Measurements[i].Quality
			t.add(q)
			for _, f := range q.Findings {
				count := byCode[f.Code]
				if count == nil {
					count = &CodeTally{Code: f.Code, Severity: f.Severity}
					byCode[f.Code] = count
				}
				count.Spectra++
				if !inCell[f.Code] {
					count.Cells++
				}
				inCell[f.Code] = true
			}
		}
	}
	for _, code := range FindingCodes() {
		if byCode[code] != nil {
			t.Findings = append(t.Findings, *byCode[code])
		}
	}
	slices.SortStableFunc(t.Findings, func(a, b CodeTally) int { return int(b.Severity - a.Severity) })
	return t
}

func (t *Tally) add(q *Quality) {
	t.Spectra++
	switch {
	case q.AcceptedByHand != "":
		t.AcceptedByHand++
	case !q.Accepted:
		t.Rejected++
	case q.Gravest() == Warning:
		t.Warned++
	default:
		t.Clean++
	}
}

// noiseOf is the standard deviation of a part as a fraction of |Z|, 0 where it is not known.
func (m *Measurement) noiseOf() float64 {
	if m.Quality.KramersKronig == nil {
		return 0
	}
	return (&sight{job: &job.Job{}, spectrum: m.Spectrum, kk: m.Quality.KramersKronig}).noise()
}

// inductanceOf is the leads' inductance in henry as the fit has it, 0 where it shows none.
func inductanceOf(f *fit.Result) float64 {
	if f == nil || !f.Inductance.Known() {
		return 0
	}
	return f.Inductance.Estimate()
}
