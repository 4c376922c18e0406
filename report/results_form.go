package report

import (
	"encoding/json"
	"math"
	"slices"
	"time"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
)

// optional is null where blank.
type optional string

func (t optional) MarshalJSON() ([]byte, error) {
	if t == "" {
		return []byte("null"), nil
	}
	return json.Marshal(string(t))
}

// finite is null where it is not a finite number.
type finite float64

func (r finite) MarshalJSON() ([]byte, error) {
	if math.IsNaN(float64(r)) || math.IsInf(float64(r), 0) {
		return []byte("null"), nil
	}
	return json.Marshal(float64(r))
}

// nonzero is null where job.yaml leaves a number blank, which it holds as zero.
type nonzero float64

func (s nonzero) MarshalJSON() ([]byte, error) {
	if s == 0 {
		return []byte("null"), nil
	}
	return json.Marshal(float64(s))
}

// bareForm is an estimate of which nobody states an uncertainty: null, and not zero.
type bareForm struct {
	Value               float64  `json:"value"`
	StandardUncertainty *float64 `json:"standard_uncertainty"`
}

// bare is nil where there is no value.
func bare(v fit.Value) *bareForm {
	if !v.Known() {
		return nil
	}
	return &bareForm{Value: v.Estimate()}
}

// dayOf is null where there is none.
func dayOf(t time.Time) optional {
	if t.IsZero() {
		return ""
	}
	return optional(t.Format(time.DateOnly))
}

// momentOf is a day, or day and time where the time is known.
func momentOf(t time.Time, hasTime bool) optional {
	if hasTime && !t.IsZero() {
		return optional(t.Format(time.RFC3339))
	}
	return dayOf(t)
}

// listed is the same list, but [] in place of null where it is empty.
func listed[T any](items []T) []T {
	if items == nil {
		return []T{}
	}
	return items
}

// each gives the forms of a list's items, [] where it is empty.
func each[T, F any](items []T, form func(T) F) []F {
	out := make([]F, len(items))
	for i, item := range items {
		out[i] = form(item)
	}
	return out
}

// places are the indices of a list.
func places[T any](items []T) []int {
	out := make([]int, len(items))
	for i := range out {
		out[i] = i
	}
	return out
}

func indexOf(i, n int) *int {
	if i < 0 || i >= n {
		return nil
	}
	return &i
}

type toolForm struct {
	Name    string   `json:"name"`
	Version string   `json:"version"`
	Model   optional `json:"model"`
	Build   optional `json:"build"`
}

func toolOf(t Tool) toolForm {
	return toolForm{t.Name, t.Version, optional(t.Model), optional(t.Build)}
}

type customerForm struct {
	Name      optional `json:"name"`
	Address   optional `json:"address"`
	Reference optional `json:"reference"`
}

type reportForm struct {
	Number       optional     `json:"number"`
	Title        optional     `json:"title"`
	Issued       optional     `json:"issued"`
	Amends       optional     `json:"amends"`
	Customer     customerForm `json:"customer"`
	Item         optional     `json:"item"`
	Received     optional     `json:"received"`
	Tested       optional     `json:"tested"`
	Remarks      optional     `json:"remarks"`
	PreparedBy   optional     `json:"prepared_by"`
	AuthorisedBy optional     `json:"authorised_by"`
}

func reportOf(j *job.Job) reportForm {
	r := j.Report
	return reportForm{
		optional(r.Number), optional(r.Title), dayOf(r.Issued), optional(r.Amends),
		customerForm{optional(r.Customer.Name), optional(r.Customer.Address), optional(r.Customer.Reference)},
		optional(r.Item), dayOf(r.Received), optional(r.Tested), optional(r.Remarks), optional(r.PreparedBy), optional(r.AuthorisedBy),
	}
}

type laboratoryForm struct {
	Name          optional `json:"name"`
	Address       optional `json:"address"`
	Contact       optional `json:"contact"`
	Accreditation optional `json:"accreditation"`
}

func laboratoryOf(j *job.Job) laboratoryForm {
	l := j.Laboratory
	return laboratoryForm{optional(l.Name), optional(l.Address), optional(l.Contact), optional(l.Accreditation)}
}

type countsForm struct {
	Pass            int `json:"pass"`
	ConditionalPass int `json:"conditional_pass"`
	ConditionalFail int `json:"conditional_fail"`
	Fail            int `json:"fail"`
	NotEvaluated    int `json:"not_evaluated"`
}

func countsOf(c health.Counts) countsForm {
	return countsForm{c.Pass, c.ConditionalPass, c.ConditionalFail, c.Fail, c.NotEvaluated}
}

type doubtForm struct {
	Code string `json:"code"`
	Text string `json:"text"`
}

func doubtsOf(doubts []fit.Doubt) []doubtForm {
	return each(doubts, func(d fit.Doubt) doubtForm { return doubtForm{d.Code, d.Text} })
}

// besideSpectra are the inputs that are not listed with their digests as measurements.
func besideSpectra(d *Document) []job.Source {
	measured := map[string]bool{}
	for _, c := range d.Assessment.Cells.All() {
		for i := range c.Measurements {
			measured[c.Measurements[i].Row.File] = c.Measurements[i].SHA256 != ""
		}
	}
	return slices.DeleteFunc(slices.Clone(d.Inputs), func(s job.Source) bool { return measured[s.File] })
}

type inputForm struct {
	File   string   `json:"file"`
	SHA256 optional `json:"sha256"`
	Bytes  *int     `json:"bytes"`
}

func inputOf(s job.Source) any {
	f := inputForm{File: s.File, SHA256: optional(s.SHA256)}
	if s.Bytes > 0 {
		f.Bytes = &s.Bytes
	}
	return f
}
