package pdf

import (
	"slices"
	"strings"

	"github.com/johnfercher/maroto/v2/pkg/components/row"
	"github.com/johnfercher/maroto/v2/pkg/components/text"
	"github.com/johnfercher/maroto/v2/pkg/consts/align"
	"github.com/johnfercher/maroto/v2/pkg/consts/border"
	"github.com/johnfercher/maroto/v2/pkg/core"
	"github.com/johnfercher/maroto/v2/pkg/props"

	"ohmledger/report/notation"
)

// tableSetter turns a table into rows.
type tableSetter struct {
	*composition
	table
	widths []float64 // mm, gutter included
	points []points  // of the columns whose decimal signs stand above one another
}

// points is the room that a column's texts take before and from the decimal sign on, in mm.
type points struct{ before, after float64 }

func newTableSetter(c *composition, t table) *tableSetter {
	s := &tableSetter{composition: c, table: t, points: make([]points, len(t.columns))}
	s.widths = share(s.wanted(), t.columns, textWidth)
	return s
}

// head is the row of column heads, standing on its rule.
func (s *tableSetter) head() core.Row {
	most := 1
	lines := make([]int, len(s.columns))
	for i, col := range s.columns {
		t := s.sheet.head.props()
		lines[i] = s.provider.GetLinesQuantity(col.head, &t, s.widths[i]-gutter)
		most = max(most, lines[i])
	}
	r := row.New()
	for i, col := range s.columns {
		t := s.sheet.head.aligned(col.setting.align()).props()
		t.Top += float64(most-lines[i]) * s.sheet.head.pitch
		t.Bottom += module / 4
		t.Left, t.Right = s.indents(i)
		r.Add(mm(s.widths[i]).holding(text.New(col.head, t)))
	}
	return ruled(r, s.sheet.colours.ink, medium)
}

func (s setting) align() align.Type {
	if s == leftward {
		return align.Left
	}
	return align.Right
}

// indents part columns; the outer ones reach the edges of the table.
func (s *tableSetter) indents(column int) (left, right float64) {
	left, right = gutter/2, gutter/2
	if column == 0 {
		left = 0
	}
	if column == len(s.columns)-1 {
		right = 0
	}
	return left, right
}

// rows are the records, tall ones in several parts.
func (s *tableSetter) rows() []core.Row {
	var rows []core.Row
	for i := range s.length() {
		parts := s.parts(s.record(i))
		for j, part := range parts {
			if s.many.record != nil {
				rows = append(rows, &lateRow{setter: s, record: i, part: j})
				continue
			}
			rows = append(rows, s.row(part).WithStyle(s.ground(i, j == len(parts)-1)))
		}
	}
	return rows
}

// ground is what a record stands on: a rule under its last part, a tint where it stands out.
func (s *tableSetter) ground(record int, closing bool) *props.Cell {
	g := &props.Cell{BorderColor: s.sheet.colours.hairline, BorderThickness: fine}
	if closing {
		g.BorderType = border.Bottom
	}
	if record == s.length()-1 {
		g.BorderColor, g.BorderThickness = s.sheet.colours.rule, medium
	}
	if record == s.tinted-1 {
		g.BackgroundColor = s.sheet.colours.tint
	}
	return g
}

// parts breaks a tall record into records of fewer lines.
func (s *tableSetter) parts(record []entry) [][]entry {
	texts := make([][]string, len(record))
	most := 0
	for i, e := range record {
		t := s.textProps(i, e)
		texts[i] = s.provider.lines(e.text, &t, s.widths[i]-t.Left-t.Right)
		most = max(most, len(texts[i]))
	}
	if most <= tallest {
		return [][]entry{record}
	}
	var parts [][]entry
	for from := 0; from < most; from += tallest {
		part := slices.Clone(record)
		for i, lines := range texts {
			part[i].text = strings.Join(lines[min(from, len(lines)):min(from+tallest, len(lines))], "\n")
			if from > 0 {
				part[i].mark = nil
			}
		}
		parts = append(parts, part)
	}
	return parts
}

func (s *tableSetter) row(record []entry) core.Row {
	r := row.New()
	for i, e := range record {
		c := mm(s.widths[i]).holding(text.New(e.text, s.textProps(i, e)))
		if e.mark != nil {
			c.Add(e.mark)
		}
		r.Add(c)
	}
	return r
}

func (s *tableSetter) textProps(column int, e entry) props.Text {
	t := s.styleOf(e).aligned(s.columns[column].setting.align()).props()
	t.Left, t.Right = s.indents(column)
	if !s.tight {
		t.Top += module / 4
		t.Bottom += module / 4
	}
	if e.mark != nil {
		t.Left += markRoom
	}
	if e.link != "" {
		t.Hyperlink = &e.link
	}
	if s.columns[column].setting == byPoint && e.text != notation.NotHad {
		_, after := s.aboutPoint(e)
		t.Right += max(0, s.points[column].after-after)
	}
	return t
}
