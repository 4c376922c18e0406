package pdf

import (
	"math"
	"slices"
	"strings"

	"ohmledger/report/notation"
)

// wanted are the widths that the columns ask for, in mm.
func (s *tableSetter) wanted() []float64 {
	widths := make([]float64, len(s.columns))
	for k := range s.columns {
		widths[k] = s.wantedByHead(k)
	}
	for i := range s.length() {
		for k, e := range s.record(i) {
			widths[k] = max(widths[k], s.wantedBy(k, e))
		}
	}
	for k, w := range widths {
		if most := s.columns[k].most; most > 0 {
			w = min(w, most)
		}
		widths[k] = whole(w+gutter) + 1./columnsPerMM
	}
	return widths
}

func (s *tableSetter) wantedByHead(column int) float64 {
	w := s.columns[column].least
	for word := range strings.FieldsFuncSeq(s.columns[column].head, func(r rune) bool { return r == ' ' || r == '\n' }) {
		for part := range strings.SplitAfterSeq(word, string(softHyphen)) {
			w = max(w, s.width(strings.Replace(part, string(softHyphen), hyphen, 1), s.sheet.head))
		}
	}
	return w
}

func (s *tableSetter) wantedBy(column int, e entry) float64 {
	if s.columns[column].setting == byPoint {
		before, after := s.aboutPoint(e)
		p := &s.points[column]
		p.before, p.after = max(p.before, before), max(p.after, after)
		return p.before + p.after
	}
	w := 0.
	for line := range strings.SplitSeq(e.text, "\n") {
		w = max(w, s.width(line, s.styleOf(e)))
	}
	if e.mark != nil {
		w += markRoom
	}
	return w
}

// aboutPoint is the room of an entry's text before and from its decimal sign on, in mm.
func (s *tableSetter) aboutPoint(e entry) (before, after float64) {
	at := strings.IndexAny(e.text, ".,(±")
	switch {
	case e.text == notation.NotHad: // stands where numbers end
		return 0, s.width(e.text, s.styleOf(e))
	case at < 0:
		at = len(e.text)
	}
	return s.width(e.text[:at], s.styleOf(e)), s.width(e.text[at:], s.styleOf(e))
}

func (s *tableSetter) styleOf(e entry) style {
	if e.style != nil {
		return *e.style
	}
	return s.sheet.table
}

// share gives every column the width it wants; what is left goes to those that stretch, or else to all
// alike, and what is missing is taken from the widest.
func share(wanted []float64, columns []column, room float64) []float64 {
	widths := slices.Clone(wanted)
	left, stretching := room, 0.
	for i := range widths {
		if columns[i].stretch > 0 {
			widths[i] = min(widths[i], max(leastStretch, columns[i].least))
			stretching += columns[i].stretch
		}
		left -= widths[i]
	}
	if left < 0 {
		return narrowed(widths, columns, -left)
	}
	for i := range widths {
		switch {
		case stretching == 0:
			widths[i] += whole(left / float64(len(widths)))
		case columns[i].stretch > 0:
			widths[i] += whole(left * columns[i].stretch / stretching)
		}
	}
	return widths
}

// whole is a width in whole units of the grid.
func whole(mm float64) float64 { return math.Floor(mm*columnsPerMM) / columnsPerMM }

// leastStretch is what a stretching column has where the others leave nothing, in mm.
const leastStretch = 36

// narrowed takes excess mm from the widest columns: of those with words, which can be broken, down to
// leastWords; then of all.
func narrowed(widths []float64, columns []column, excess float64) []float64 {
	excess = trimmed(widths, excess, leastWords, func(i int) bool { return columns[i].setting == leftward })
	trimmed(widths, excess, 0, func(int) bool { return true })
	return widths
}

// leastWords is how far columns with words give way to those with numbers, in mm.
const leastWords = 18

// trimmed takes excess from the widest of the chosen widths, none below least, and returns what it could
// not take.
func trimmed(widths []float64, excess, least float64, chosen func(int) bool) float64 {
	for excess > roundingMargin {
		widest := -1
		for i, w := range widths {
			if chosen(i) && w > least && (widest < 0 || w > widths[widest]) {
				widest = i
			}
		}
		if widest < 0 {
			break
		}
		widths[widest] -= 1. / columnsPerMM
		excess -= 1. / columnsPerMM
	}
	return excess
}
