package xlsx

import (
	"errors"
	"time"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/report"
	"ohmledger/report/notation"
)

// book is a workbook being written.
type book struct {
	file     *excelize.File
	doc      *report.Document
	words    *report.Words
	styles   map[look]int
	said     map[string]string // blocks without data
	names    map[string]string // of the sheets, by their keys
	taken    map[string]bool   // names of sheets, without case
	digest   string            // of results.json
	list     []limit           // the limits, numbered
	plan     plan
	measured *columns[measured]     // of the sheet Results, which other sheets refer to
	judged   *columns[judged]       // of the sheet Criteria, likewise
	summed   summaryTable           // of the sheet Summary, likewise
	graded   *columns[graded]       // of the sheet Grades, likewise
	asks     []asked                // the limits of the grades, numbered
	founded  *columns[*health.Cell] // of the sheet Baselines, likewise
	points   *columns[point]        // of the sheet Spectra, likewise
	sheets   []*sheet               // in their order
	axes     []axes                 // of the charts, in their order
	err      error                  // the first fault of what cannot say so itself
}

func newBook(d *report.Document) *book {
	b := &book{file: excelize.NewFile(), doc: d, words: d.Words, styles: map[look]int{}, said: map[string]string{},
		names: map[string]string{}, taken: map[string]bool{}}
	b.note(b.file.SetDefaultFont(typeface))
	b.plan = planned(d.Assessment)
	b.list = b.numbered()
	b.founded, b.points = b.baselineColumns(), b.pointColumns()
	b.measured, b.judged = b.resultColumns(), b.criterionColumns()
	b.asks = b.askedFor()
	b.summed, b.graded = b.summaryColumns(), b.gradeColumns()
	return b
}

// note keeps the first fault.
func (b *book) note(errs ...error) {
	if b.err == nil {
		b.err = errors.Join(errs...)
	}
}

// say is a text of the workbook in the report's language; those without data are asked for in every row.
func (b *book) say(block string, data ...any) string {
	if len(data) > 0 {
		return b.words.Say("workbook."+block, data[0])
	}
	return b.always("workbook." + block)
}

// always is a block that needs no data.
func (b *book) always(block string) string {
	said, ok := b.said[block]
	if !ok {
		said = b.words.Say(block, nil)
		b.said[block] = said
	}
	return said
}

// properties are the document's, as file managers show them. The dates are the report's, not the clock's.
func (b *book) properties() error {
	r, lab := b.doc.Assessment.Job.Report, b.doc.Assessment.Job.Laboratory
	issued := ""
	if !r.Issued.IsZero() {
		issued = r.Issued.UTC().Format(time.RFC3339)
	}
	b.note(
		b.file.SetDocProps(&excelize.DocProperties{
			Title: text(b.title()), Subject: text(r.Number), Creator: text(lab.Name), LastModifiedBy: text(lab.Name),
			Description: b.say("about"), Language: b.words.Language, Created: issued, Modified: issued,
		}),
		b.file.SetAppProps(&excelize.AppProperties{Application: b.doc.Tool.Name, Company: text(lab.Name)}),
		b.seals(),
		b.file.SetCalcProps(&excelize.CalcPropsOptions{FullCalcOnLoad: pointer(true)}),
	)
	return b.err
}

// title of the report, or what kind of report it is where the job has none.
func (b *book) title() string {
	if t := b.doc.Assessment.Job.Report.Title; t != "" {
		return t
	}
	return b.say("title")
}

// plan says where things stand, so that sheets can refer to each other before they are written.
type plan struct {
	resistance           notation.Scale           // one for all resistances, so that formulas need not convert
	cellWidth, fileWidth float64                  // of the columns of names
	result               [][]int                  // row on Results of cell i, measurement k
	criterion            []int                    // first row on Criteria of cell i
	cell                 []int                    // row on Summary and on Baselines of cell i
	limit                []int                    // row on Limits
	first, last          float64                  // day of the job, in the workbook's own count; 0: none can be written
	criteria             int                      // the row after the last on Criteria
	verdicts             []map[health.Verdict]int // of the cells, by limit
	judged               [][]float64              // values that are known, by limit; in the quantity's unit
	rows                 map[string]int           // of the tables whose length is known by then, by name
	grades               map[string]int           // how many cells have each
	points               [][]int                  // first row on Spectra of cell i, measurement k; nil where the points are left out
}

// Rows that tables begin at: title, note and head stand above.
const (
	firstRow        = 4
	firstSummaryRow = 8
	firstLimitRow   = 8
)

func planned(a *health.Assessment) plan {
	p := plan{grades: map[string]int{}, rows: map[string]int{}, cellWidth: leastWidth, fileWidth: leastWidth}
	result, criterion := firstRow, firstRow
	var resistances []fit.Value
	for i, c := range a.Cells.All() {
		rows := make([]int, len(c.Measurements))
		for k := range rows {
			rows[k] = result
			result++
			p.dated(&c.Measurements[k])
			resistances = append(resistances, resistancesOf(&c.Measurements[k])...)
		}
		p.result = append(p.result, rows)
		p.criterion = append(p.criterion, criterion)
		p.cell = append(p.cell, i) // from the first row of either sheet
		criterion += len(c.Criteria)
		p.grades[c.Grade]++
		p.widen(c)
		p.take(c)
	}
	p.criteria, p.resistance = criterion, notation.Ohm.Scale(resistances...)
	p.rows["results"], p.rows["fit_parameters"], p.rows["criteria"] = result-firstRow, result-firstRow, criterion-firstRow
	for _, table := range []string{"summary", "baselines", "grades"} {
		p.rows[table] = a.Cells.Len()
	}
	if n := result - firstRow; n <= spectraUpTo {
		p.points = pointRows(a)
	}
	for i := range a.Job.Limits {
		p.limit = append(p.limit, firstLimitRow+i)
	}
	return p
}

// dated widens the span of days to that of a measurement.
func (p *plan) dated(m *health.Measurement) {
	if !datable(m.Row.MeasuredAt) {
		return
	}
	day := serial(m.Row.MeasuredAt)
	if p.first == 0 {
		p.first, p.last = day, day
	}
	p.first, p.last = min(p.first, day), max(p.last, day)
}

// take counts what a cell's criteria come to, and the rows of the tables that have some for a cell.
func (p *plan) take(c *health.Cell) {
	for len(p.verdicts) < len(c.Criteria) {
		p.verdicts, p.judged = append(p.verdicts, map[health.Verdict]int{}), append(p.judged, nil)
	}
	for k := range c.Criteria {
		criterion := &c.Criteria[k]
		p.verdicts[k][criterion.Verdict]++
		if criterion.Value.Known() {
			p.judged[k] = append(p.judged[k], criterion.Value.Estimate())
		}
		p.rows["uncertainty_budget"] += len(criterion.Contributions)
	}
	p.rows["forecasts"] += len(c.Trend)
	p.rows["departures"] += len(c.Departures)
}

// leastWidth is that of columns of names, in characters.
const leastWidth = 12

// widen makes room for the names of a cell and its files, within reason.
func (p *plan) widen(c *health.Cell) {
	const mostCell, mostFile = 30, 60
	wide := func(text string) float64 { return float64(utf8.RuneCountInString(text) + 3) }
	p.cellWidth = min(mostCell, max(p.cellWidth, wide(c.Name)))
	for _, m := range c.Measurements {
		p.fileWidth = min(mostFile, max(p.fileWidth, wide(m.Row.File)))
	}
}

func pointRows(a *health.Assessment) (rows [][]int) {
	at := firstRow
	for _, c := range a.Cells.All() {
		first := make([]int, len(c.Measurements))
		for k, m := range c.Measurements {
			first[k] = at
			if m.Spectrum != nil {
				at += len(m.Spectrum.Frequency)
			}
		}
		rows = append(rows, first)
	}
	if at > excelize.TotalRows {
		return nil
	}
	return rows
}

// resistancesOf are those of a measurement that are in the workbook.
func resistancesOf(m *health.Measurement) []fit.Value {
	if m.Fit == nil {
		return []fit.Value{m.ACResistance1kHz}
	}
	return []fit.Value{m.Fit.Ohmic, m.Fit.ChargeTransfer, m.ACResistance1kHz}
}
