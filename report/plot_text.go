package report

import (
	"strings"

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

// place writes a text so that its middle line, not its box, meets a point, whichever way it is aligned.
func place(c *draw.Canvas, s draw.TextStyle, at vg.Point, words string) {
	s.YAlign = draw.YCenter
	c.FillText(s, vg.Point{X: at.X, Y: at.Y + opticalLift(s)}, words)
}

// opticalLift is how far a text must rise for the middle of its digits to meet a line. gonum centres the
// box from ascent to descent, and digits stand in its upper part.
func opticalLift(s draw.TextStyle) vg.Length {
	e := s.FontExtents()
	return (e.Ascent+e.Descent)/2 - e.Descent - s.Font.Size*digitHeight/2
}

// digitHeight is the height of DejaVu Sans' digits in ems (its OS/2 table: cap height 1493 of 2048).
const digitHeight = 1493. / 2048
