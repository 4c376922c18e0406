package health

import (
	"cmp"
	"math"
	"slices"
	"time"

	"ohmledger/fit"
	"ohmledger/fit/spectrum"
	"ohmledger/health/job"
)

// Input is one measured spectrum, read.
type Input struct {
	Row      *job.Measurement // of the table; nil: nothing is stated
	Spectrum *spectrum.Spectrum
	SHA256   string // of the spectrum file
}

// unnamed is the input as that of any cell.
func (in Input) unnamed() Input {
	row := job.Measurement{}
	if in.Row != nil {
		row = *in.Row
	}
	row.Cell = ""
	in.Row = &row
	return in
}

// specimen is a cell on its way through the assessment.
type specimen struct {
	*Cell
	footing *footing
	alike   string     // label of another cell that may be taken for this one's; empty: there is none
	twins   []*twin    // of each measurement; nil: none
	joins   bool       // is fitted together with other cells; known when it is tested
	steps   []step     // that lead to each measurement
	logs    covariance // of ln R between two of the measurements; as the fits gave it
	kept    func()     // packs the cell that is judged and drops it; nil: it stays as it is
	misfits covariance // standard uncertainty of ln R of one over the other from the circuit's misfit; likewise
}

// specimens sorts the inputs by cell, in the order in which cells are first named, and each cell's by time.
func specimens(inputs []Input) (cells []*specimen) {
	byName, spectra := map[string]*specimen{}, map[string]int{}
	for i := range inputs {
		if inputs[i].Row == nil {
			inputs[i].Row = &job.Measurement{}
		}
		spectra[inputs[i].Row.Cell]++
	}
	for i := range inputs {
		in := &inputs[i]
		s := byName[in.Row.Cell]
		if s == nil {
			s = &specimen{Cell: &Cell{Name: in.Row.Cell, Latest: -1, Measurements: make([]Measurement, 0, spectra[in.Row.Cell])}}
			byName[in.Row.Cell] = s
			cells = append(cells, s)
		}
		s.Measurements = append(s.Measurements, Measurement{Row: in.Row, SHA256: in.SHA256, Spectrum: in.Spectrum})
	}
	for _, s := range cells {
		slices.SortStableFunc(s.Measurements, earlier)
	}
	return cells
}

// earlier orders measurements by time, then by file so that rows of one day keep their order however the table was sorted.
func earlier(a, b Measurement) int {
	return cmp.Or(a.Row.MeasuredAt.Compare(b.Row.MeasuredAt), cmp.Compare(a.Row.Line, b.Row.Line), cmp.Compare(a.Row.File, b.Row.File))
}

// covariance of ln R of two of the cell's spectra. Where the fit knows none, a single reading has the variance of its value.
func (s *specimen) covariance(i, j int, e fit.Element) float64 {
	if s.logs != nil {
		if c := s.logs(i, j, e); !math.IsNaN(c) && !math.IsInf(c, 0) {
			return c
		}
	}
	if i != j {
		return 0
	}
	relative := s.Measurements[i].Fit.Resistance(e).Relative()
	return relative * relative
}

// misfit is the standard uncertainty of ln R_i/R_j that the circuit's not being quite the cell gives, as far as the fits know.
func (s *specimen) misfit(i, j int, e fit.Element) float64 {
	if s.misfits == nil {
		return 0
	}
	if u := s.misfits(i, j, e); u > 0 && !math.IsInf(u, 0) {
		return u
	}
	return 0
}

// accepted are the indices of the measurements that count, in time order.
func (s *specimen) accepted() (indices []int) {
	for i := range s.Measurements {
		if s.Measurements[i].Quality.Accepted {
			indices = append(indices, i)
		}
	}
	return indices
}

// touching states the first finding that makes a quantity of the measurement not comparable.
func (m *Measurement) touching(q job.Quantity) Statement { return m.touchingBut("", q) }

// touchingBut is touching without the findings of one code.
func (m *Measurement) touchingBut(code string, q job.Quantity) Statement {
	for _, f := range m.Quality.Findings {
		if f.Code != code && slices.Contains(f.Touches, q) {
			return f.statement()
		}
	}
	return Statement{}
}

// rejection states the first finding that rejects the measurement; nothing where it counts.
func (m *Measurement) rejection() Statement {
	if m.Quality.Accepted {
		return Statement{}
	}
	for _, f := range m.Quality.Findings {
		if f.Severity == Reject {
			return because("rejected", within("finding", f.statement()))
		}
	}
	return because("not-checked")
}

// day is the date of a moment as it was written.
func day(t time.Time) string { return t.Format(time.DateOnly) }
