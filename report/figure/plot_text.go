package figure

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// wrapped breaks a text into at most so many lines of a width, and ends it with an ellipsis where that
// is not enough.
func wrapped(s draw.TextStyle, words string, width vg.Length, most int) string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(words) {
		longer := strings.TrimSpace(line + " " + word)
		if line == "" || s.Width(longer) <= width {
			line = longer
			continue
		}
		lines, line = append(lines, line), word
	}
	lines = append(lines, line)
	if len(lines) > most {
		lines = append(lines[:most-1], lines[most-1]+" …")
	}
	for i := range lines {
		lines[i] = shortened(s, lines[i], width)
	}
	return strings.Join(lines, "\n")
}

// shortened cuts a text that is wider than a width and ends it with an ellipsis.
func shortened(s draw.TextStyle, words string, width vg.Length) string {
	if s.Width(words) <= width {
		return words
	}
	runes := []rune(strings.TrimSuffix(words, " …"))
	for len(runes) > 1 && s.Width(string(runes)+"…") > width {
		runes = runes[:len(runes)-1]
	}
	return string(runes) + "…"
}

// place writes one line of text so that the middle of its digits, not of its box, meets a point.
func place(c *draw.Canvas, s draw.TextStyle, at vg.Point, words string) {
	s.YAlign = draw.YCenter
	c.FillText(s, vg.Point{X: at.X, Y: at.Y + opticalLift(s)}, words)
}

// opticalLift is how far a text's point must rise for the middle of its digits to meet it: gonum's plain
// handler puts the base line of one centred line half a box and an ascent below the point, and an em above that.
func opticalLift(s draw.TextStyle) vg.Length {
	e := s.FontExtents()
	return (e.Ascent+e.Descent)/2 + e.Ascent - s.Font.Size - s.Font.Size*digitHeight/2
}

// digitHeight is the height of DejaVu Sans' digits in ems (its OS/2 table: cap height 1493 of 2048).
const digitHeight = 1493. / 2048

// capitalised begins a text with a capital letter.
func capitalised(words string) string {
	first, size := utf8.DecodeRuneInString(words)
	if size == 0 {
		return ""
	}
	return string(unicode.ToUpper(first)) + words[size:]
}
