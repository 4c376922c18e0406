package pdf

import (
	"strconv"
	"strings"

	"github.com/johnfercher/maroto/v2/pkg/consts/align"
	"github.com/johnfercher/maroto/v2/pkg/core/entity"
	"github.com/johnfercher/maroto/v2/pkg/props"
)

const mmPerPoint = 1 / pointsPerMM

// baseLine is how far below the top of a line of text its base line lies, in sizes of the text. DejaVu's
// capitals are 0.73 high: they then stand in the middle of the line.
const baseLine = 0.865

// GetFontHeight is the size of a font in mm.
func (p *provider) GetFontHeight(f *props.Font) float64 { return f.Size * mmPerPoint }

// GetLinesQuantity is how many lines a text takes in a column of a width in mm.
func (p *provider) GetLinesQuantity(text string, t *props.Text, width float64) int {
	return len(p.lines(text, t, width))
}

func (p *provider) lines(text string, t *props.Text, width float64) []string {
	return wrap(p.alphabet.legible(text), width, p.advance(t))
}

// advance measures pieces of text of a kind, in mm.
func (p *provider) advance(t *props.Text) func(piece) float64 {
	return func(s piece) float64 {
		p.setFont(fontAt(t, s.level))
		return p.pdf.GetStringWidth(s.text)
	}
}

// width of a text on one line, in mm.
func (p *provider) width(text string, t *props.Text) (w float64) {
	measure := p.advance(t)
	for rest := p.alphabet.legible(text); rest != ""; {
		next := nextPiece(rest)
		w += measure(next)
		rest = rest[len(next.source):]
	}
	return w
}

func fontAt(t *props.Text, l level) letters {
	return letters{string(t.Style), t.Size * script[l].scale}
}

// AddText sets a text into a cell, broken to its width. Lines stand VerticalPadding farther apart than
// the size of the text.
func (p *provider) AddText(text string, cell *entity.Cell, t *props.Text) {
	width := cell.Width - t.Left - t.Right
	size := t.Size * mmPerPoint
	x, y := p.at(cell.X+t.Left, cell.Y+t.Top+size*baseLine)
	for _, l := range p.lines(text, t, width) {
		long := p.width(l, t)
		start := x + indent(t.Align, width-long)
		p.setLine(l, start, y, t)
		if t.Hyperlink != nil && l != "" {
			p.link(*t.Hyperlink, start, y-size*baseLine, long, size)
		}
		y += size + t.VerticalPadding
	}
}

func indent(a align.Type, room float64) float64 {
	switch a {
	case align.Right:
		return room
	case align.Center:
		return room / 2
	}
	return 0
}

// setLine writes one line from x on, its base line at y, both in mm on the page.
func (p *provider) setLine(line string, x, y float64, t *props.Text) {
	p.pdf.SetTextColor(t.Color.Red, t.Color.Green, t.Color.Blue)
	for _, r := range runs(line) {
		p.setFont(fontAt(t, r.level))
		if strings.TrimSpace(r.text) != "" {
			p.pdf.Text(x, y+script[r.level].drop*t.Size*mmPerPoint, r.text)
		}
		x += p.pdf.GetStringWidth(r.text)
	}
}

// link makes an area of the page lead to a place of the document, "#3", or to an address.
func (p *provider) link(to string, x, y, width, height float64) {
	place, inside := strings.CutPrefix(to, "#")
	if !inside {
		p.pdf.LinkString(x, y, width, height, to)
		return
	}
	id, err := strconv.Atoi(place)
	if err != nil {
		panic("pdf: link to " + to)
	}
	p.pdf.Link(x, y, width, height, id)
}
