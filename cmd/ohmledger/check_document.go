package main

import (
	"encoding/json"
	"math"
	"time"

	"ohmledger/fit/spectrum"
	"ohmledger/health"
	"ohmledger/health/job"
)

// notJudged is what a spectrum by itself does not tell.
var notJudged = []string{"sensing", "control", "excitation", "rest", "open_circuit_voltage", "temperature", "state_of_charge",
	"calibration", "magnitude", "history", "baseline"}

// document is what was found out about measurements, as JSON has it. K is nil where nothing was compared.
func (c *check) document(k *health.Comparison, list ...*health.Measurement) *checkDocument {
	d := c.emptyDocument()
	d.Verdict = gravest(list)
	counts := countsOf(list)
	d.Counts = checkCounts{counts[sound], counts[warned], counts[byHand], counts[discard]}
	d.Spectra = each(list, spectrumOf)
	if k != nil {
		d.Comparison = comparisonOf(k)
	}
	return d
}

// emptyDocument is one about nothing yet.
func (c *check) emptyDocument() *checkDocument {
	t := tool()
	return &checkDocument{Schema: checkSchema, Tool: checkTool{t.Name, t.Version, t.Model}, NotJudged: notJudged,
		Caution: c.words.Say("check.caution", nil), Spectra: []checkSpectrum{}, Faults: []checkFault{}}
}

// refusedDocument is about a file that could not be read.
func (c *check) refusedDocument(name string, err error) *checkDocument {
	d := c.emptyDocument()
	d.Verdict = unread
	d.Faults = faultsOf(name, err)
	return d
}

func spectrumOf(m *health.Measurement) checkSpectrum {
	s, q, f := m.Spectrum, &m.Quality, m.Spectrum.Frequency
	out := checkSpectrum{File: s.File, SHA256: m.SHA256, Cell: unlessBlank(m.Row.Cell), Verdict: worthOf(m), Accepted: q.Accepted,
		ByHand: unlessBlank(q.AcceptedByHand), Points: len(f), HighestHz: f[0], LowestHz: f[len(f)-1],
		Ohmic: m.Fit.Ohmic, Arcs: m.Fit.Polarisation, Inductance: m.Fit.Inductance, Findings: each(q.Findings, findingOf)}
	if !m.Row.MeasuredAt.IsZero() {
		out.MeasuredAt = unlessBlank(moment(m.Row.MeasuredAt, m.Row.HasTime))
	}
	if k := q.KramersKronig; k != nil {
		out.KramersKronig = &checkKramersKronig{k.RMSResidual, k.MaxResidual, k.TimeConstants, k.NoisePercent}
	}
	return out
}

func findingOf(f health.Finding) checkFinding {
	facts := map[string]any{}
	for _, fact := range f.Facts {
		facts[fact.Key()] = factOf(fact)
	}
	return checkFinding{f.Code, f.Severity.String(), append([]job.Quantity{}, f.Touches...), f.Message, f.Advice, facts}
}

// factOf is a fact as JSON has it: a number, with its uncertainty where it states one, or a word or date.
func factOf(f health.Fact) any {
	switch {
	case !f.At.IsZero():
		return f.At.Format(time.DateOnly)
	case f.Within != nil:
		return f.Within.Code
	case f.Unit == health.Word:
		return f.Text
	case f.U > 0:
		return map[string]any{"value": unlessOdd(f.Value), "standard_uncertainty": unlessOdd(f.U)}
	}
	return unlessOdd(f.Value)
}

func comparisonOf(k *health.Comparison) *checkComparison {
	out := &checkComparison{Comparable: k.Comparable, Shift: k.Shift, ArcGrowth: k.ArcGrowth, Slowing: k.Slowing,
		NoiseA: unlessZero(k.NoiseA), NoiseB: unlessZero(k.NoiseB),
		InductanceA: unlessZero(k.InductanceA), InductanceB: unlessZero(k.InductanceB), Differences: each(k.Differences, findingOf)}
	if k.Comparable {
		out.ShiftShare, out.Left = unlessOdd(k.ShiftShare), unlessOdd(k.Left)
	}
	return out
}

// faultsOf are the faults of an input, one a place.
func faultsOf(name string, err error) (list []checkFault) {
	collected, ok := collected([]error{err}).(spectrum.Errors)
	if !ok {
		return []checkFault{{File: name, Message: err.Error()}}
	}
	for _, e := range collected {
		fault := checkFault{File: e.File, Message: e.Message, Remedy: unlessBlank(e.Remedy)}
		if e.Line > 0 {
			fault.Line = &e.Line
		}
		if e.Column > 0 {
			fault.Column = &e.Column
		}
		list = append(list, fault)
	}
	return list
}

func moment(at time.Time, hasTime bool) string {
	if hasTime {
		return at.Format(time.RFC3339)
	}
	return at.Format(time.DateOnly)
}

func unlessBlank(text string) *string {
	if text == "" {
		return nil
	}
	return &text
}

func unlessZero(x float64) *float64 {
	if x == 0 {
		return nil
	}
	return unlessOdd(x)
}

func unlessOdd(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

// print writes a document, on one line unless it is indented.
func (c *check) print(d *checkDocument, indent string) error {
	e := json.NewEncoder(c.con.out)
	e.SetEscapeHTML(false)
	e.SetIndent("", indent)
	return e.Encode(d)
}

// indented is how far each level of a document for one reader stands in.
const indented = " "
