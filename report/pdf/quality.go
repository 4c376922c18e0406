package pdf

import (
	"cmp"
	"slices"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/report/notation"
)

// quality sums up what the checks found about all spectra of the job, and in what the work departed from
// its method. A single cell's own section says it all.
func (c *composition) quality() {
	if !c.several() {
		return
	}
	c.section("findings")
	t := c.qualityTable()
	if len(t.records) == 0 {
		c.paragraph(c.say("quality.all", c.spectraCounts()), c.sheet.note)
	} else {
		c.holdParagraph(c.say("quality.all", c.spectraCounts()), c.sheet.note)
		c.hold(empty(module))
		c.addTable(t)
	}
	c.fixtures()
	c.deviations()
}

// several reports whether the report is about more than one cell.
func (c *composition) several() bool { return c.doc.Assessment.Cells.Len() > 1 }

// spectraCounts are the spectra of a job by how they stood the checks.
type spectraCounts struct {
	Spectra, Cells                         int
	Clean, Noted, Warned, Rejected, ByHand int // Rejected are those that do not count; ByHand count although they were rejected
	LeftOut, Points, Thinned               int // points that fits left out, of so many, in so many spectra
}

func (c *composition) spectraCounts() spectraCounts {
	n := spectraCounts{Cells: c.doc.Assessment.Cells.Len()}
	c.eachMeasurement(func(_ *health.Cell, m *health.Measurement) {
		n.Spectra++
		n.stand(m)
		if m.Fit == nil || m.Spectrum == nil {
			return
		}
		n.Points += len(m.Spectrum.Frequency)
		if left := len(m.Fit.Excluded); left > 0 {
			n.LeftOut, n.Thinned = n.LeftOut+left, n.Thinned+1
		}
	})
	return n
}

// stand counts a measurement under how it stood the checks.
func (n *spectraCounts) stand(m *health.Measurement) {
	switch {
	case m.Quality.AcceptedByHand != "":
		n.ByHand++
	case !m.Quality.Accepted:
		n.Rejected++
	case gravest(m) == health.Warning:
		n.Warned++
	case gravest(m) == health.Note:
		n.Noted++
	default:
		n.Clean++
	}
}

func (c *composition) eachMeasurement(visit func(cell *health.Cell, m *health.Measurement)) {
	for _, cell := range c.doc.Assessment.Cells.All() {
		for k := range cell.Measurements {
			visit(cell, &cell.Measurements[k])
		}
	}
}

// kind is one kind of finding with all that it was made about.
type kind struct {
	health.Finding // the latest
	spectra        int
	cells          []string
}

// kinds gathers the findings of a job by code and severity: the gravest first, then the most frequent.
func (c *composition) kinds() []kind {
	type key struct {
		code     string
		severity health.Severity
	}
	var list []kind
	places := map[key]int{}
	c.eachMeasurement(func(cell *health.Cell, m *health.Measurement) {
		for _, f := range m.Quality.Findings {
			at, known := places[key{f.Code, f.Severity}]
			if !known {
				at, list = len(list), append(list, kind{})
				places[key{f.Code, f.Severity}] = at
			}
			k := &list[at]
			k.Finding, k.spectra = f, k.spectra+1
			if n := len(k.cells); n == 0 || k.cells[n-1] != cell.Name {
				k.cells = append(k.cells, cell.Name)
			}
		}
	})
	slices.SortStableFunc(list, func(a, b kind) int {
		return cmp.Or(cmp.Compare(b.Severity, a.Severity), cmp.Compare(b.spectra, a.spectra))
	})
	return list
}

func (c *composition) qualityTable() table {
	t := table{columns: []column{
		{head: c.label("severity")}, {head: c.label("spectra"), setting: rightward}, {head: c.label("cells"), setting: rightward},
		{head: c.label("seen"), stretch: 1.4}, {head: c.label("advice"), stretch: 1}, {head: c.label("which"), most: 40},
	}}
	plain := c.sheet.small.in(c.sheet.colours.ink)
	bold := plain.bold()
	for _, k := range c.kinds() {
		record := entries(c.doc.Words.Say("severity."+k.Severity.String(), nil), c.count(k.spectra), c.count(len(k.cells)),
			c.sight(k.Finding), c.adviceOn(k.Finding), c.few(k.cells))
		for i := range record {
			record[i].style = &plain
		}
		record[0].style = &bold
		t.records = append(t.records, record)
	}
	return t
}

// count writes a whole number.
func (c *composition) count(n int) string {
	return c.numbers.Fixed(float64(n), 0, notation.One.Scale())
}

// sight is what was seen, without the sizes that differ from spectrum to spectrum.
func (c *composition) sight(f health.Finding) string {
	if block := "finding." + f.Code + ".seen"; c.doc.Words.Has(block) {
		return c.literally(c.doc.Words.Phrase(block, f.Facts))
	}
	return c.literally(f.Message)
}

// adviceOn is what to do about a finding, in the words of those who read a report: without the names of keys and columns.
func (c *composition) adviceOn(f health.Finding) string {
	if block := "pdf.advice." + f.Code; c.doc.Words.Has(block) {
		return c.literally(c.doc.Words.Phrase(block, f.Facts))
	}
	return c.literally(f.Advice)
}

// few names the first of many cells.
func (c *composition) few(names []string) string {
	const most = 3
	shown := make([]string, 0, most+1)
	for _, n := range names[:told(len(names), most)] {
		shown = append(shown, c.literally(n))
	}
	return c.say("names", struct {
		Names []string
		More  int
	}{shown, len(names) - len(shown)})
}

// told is how many of n are named where there is room for so many: one more rather than "and 1 more", which takes as much room.
func told(n, most int) int {
	if n == most+1 {
		return n
	}
	return min(n, most)
}

// subtracted is what was taken away for leads and fixture, in words; Spectra had the same.
type subtracted struct {
	Measured               bool // a spectrum of the shorted fixture
	Resistance, Inductance string
	Spectra                int
}

func (c *composition) subtracted(f *health.Fixture) subtracted {
	value := func(v fit.Value, u notation.Unit) string {
		if !v.Known() {
			return ""
		}
		return c.numbers.Value(v, u.Scale(v))
	}
	return subtracted{Measured: f.Source == "spectrum", Resistance: value(f.Resistance, notation.Ohm), Inductance: value(f.Inductance, notation.Henry)}
}

// fixtures says what was subtracted for leads and fixture, and from how many spectra.
func (c *composition) fixtures() {
	var first *health.Fixture
	n := 0
	c.eachMeasurement(func(_ *health.Cell, m *health.Measurement) {
		if m.Fixture != nil {
			first, n = cmp.Or(first, m.Fixture), n+1
		}
	})
	if first == nil {
		return
	}
	words := c.subtracted(first)
	words.Spectra = n
	c.sided("fixture", c.say("quality.fixture", words))
}

// deviations lists what counts although it was rejected, with the reasons given.
func (c *composition) deviations() {
	t := table{columns: []column{
		{head: c.label("cell"), most: 40}, {head: c.label("date")}, {head: c.label("rejected-for"), stretch: 1}, {head: c.label("reason-given"), stretch: 1},
	}}
	c.eachMeasurement(func(cell *health.Cell, m *health.Measurement) {
		if m.Quality.AcceptedByHand == "" {
			return
		}
		why := ""
		for _, f := range m.Quality.Findings {
			if f.Severity == health.Reject && why == "" {
				why = c.sight(f)
			}
		}
		t.records = append(t.records, entries(c.literally(cell.Name), c.numbers.Date(m.Row.MeasuredAt), why, c.literally(m.Quality.AcceptedByHand)))
	})
	if len(t.records) > 0 {
		c.subheading("deviations")
		c.addTable(t)
	}
}
