package figure

import (
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/report"
	"ohmledger/report/notation"
)

// Limits of what a Nyquist plot shows.
const (
	mostAges    = 5  // spectra drawn in colour, with their points: more hide one another
	mostFaint   = 30 // further spectra drawn as grey lines
	mostRefused = 6  // spectra that were not accepted, drawn as crosses
)

// nyquist is the Nyquist plot of one cell: its spectra at all ages in the complex plane, −Z″ upward.
type nyquist struct {
	words   *report.Words
	scale   notation.Scale
	ages    []drawnSpectrum // in colour, oldest first
	faint   []drawnSpectrum
	fits    []plotter.XYs   // lines of the ages
	refused []drawnSpectrum // not accepted, at most mostRefused
	all     int             // accepted spectra
	turned  int             // spectra not accepted
	marked  []int           // measurements whose spectra are in colour whatever the others: the baseline's and the judged one
	view    view
}

// Nyquist draws all spectra of a cell in the complex plane with equal scales, with their fits: that of the baseline, the judged
// one and evenly chosen ones that can be compared with them in colour, the others faint. The figure fits any canvas.
func Nyquist(d *report.Document, cell *health.Cell) Figure {
	n := newNyquist(d.Words, cell)
	return Figure{
		Name:    figureName(cell.Name, "nyquist"),
		Caption: n.caption(cell),
		Width:   figureWidth,
		Height:  n.height(),
		Draw:    n.draw,
	}
}

func newNyquist(w *report.Words, cell *health.Cell) *nyquist {
	var accepted, refused []drawnSpectrum
	for _, s := range drawnSpectra(w, cell) {
		if s.accepted {
			accepted = append(accepted, s)
		} else {
			refused = append(refused, s)
		}
	}
	n := &nyquist{words: w, all: len(accepted), turned: len(refused), marked: marked(cell, accepted)}
	n.ages, n.faint = coloured(cell, accepted, n.marked)
	n.faint, _ = apart(n.faint, mostFaint)
	n.refused, _ = apart(refused, mostRefused)
	n.view = newView(append(n.ages, n.faint...))
	n.scale = n.view.scale()
	for _, s := range n.ages {
		n.fits = append(n.fits, n.lineOf(s, curvePoints, false))
	}
	return n
}

// look is the mark of an age in colour.
func (n *nyquist) look(i int) mark {
	age := 1.
	if len(n.ages) > 1 {
		age = float64(i) / float64(len(n.ages)-1)
	}
	return mark{shape: shape(i % int(shapeCount)), radius: 1.35, colour: AgeColour(age)}
}

// caption data for the wording templates.
type nyquistCaption struct {
	Cell                            string
	Drawn, Faint, All, Refused      int
	Left                            int  // accepted spectra that are not drawn
	Marked                          bool // rings stand on the baseline and the judged spectrum
	Excluded, Cropped, AnyFit, None bool
}

func (n *nyquist) caption(cell *health.Cell) string {
	return n.words.Say("figure.nyquist.caption", nyquistCaption{
		Cell: cell.Name, Drawn: len(n.ages), Faint: len(n.faint), All: n.all, Refused: n.turned,
		Excluded: n.anyExcluded(), Cropped: n.view.cropped, AnyFit: n.anyFit(), None: n.view.empty(),
		Left: n.all - len(n.ages) - len(n.faint), Marked: len(n.marked) > 1,
	})
}

func (n *nyquist) anyExcluded() bool {
	for _, s := range n.ages {
		for i := range s.used {
			if !s.used[i] && n.view.contains(s.impedance[i]) {
				return true
			}
		}
	}
	return false
}

func (n *nyquist) anyFit() bool {
	for _, s := range n.ages {
		if s.result != nil {
			return true
		}
	}
	return false
}

// points of a spectrum in the plane, those that the fit used or those that it did not.
func (n *nyquist) points(s drawnSpectrum, used bool) plotter.XYs {
	var z []complex128
	for i, v := range s.impedance {
		if s.used[i] == used {
			z = append(z, v)
		}
	}
	return inNyquist(n.scale, z)
}

// lineOf is a spectrum's fit in the plane, or where there is none and one is wanted its measured points.
func (n *nyquist) lineOf(s drawnSpectrum, count int, orPoints bool) plotter.XYs {
	_, z := s.model(count)
	if z == nil && orPoints {
		z = s.impedance
	}
	return inNyquist(n.scale, z)
}

// legend explains what is drawn.
func (n *nyquist) legend(l lettering) legend {
	key := legend{text: l}
	for i, s := range n.ages {
		m := n.look(i)
		key.entries = append(key.entries, entry{sampleOf(&draw.LineStyle{Color: m.colour, Width: stroke}, &m), n.label(s)})
	}
	if len(n.faint) > 0 {
		label := n.words.Say("figure.nyquist.faint", len(n.faint))
		key.entries = append(key.entries, entry{sampleOf(&draw.LineStyle{Color: faintColour, Width: thin}, nil), label})
	}
	if n.anyExcluded() {
		open := mark{radius: 1.6, colour: quiet, open: true}
		key.entries = append(key.entries, entry{sampleOf(nil, &open), n.words.Say("figure.excluded", nil)})
	}
	if len(n.refused) > 0 {
		label := n.words.Say("figure.nyquist.refused", n.turned)
		if n.turned == 1 {
			label += ": " + n.refused[0].label
		}
		key.entries = append(key.entries, entry{sampleOf(nil, &refusedMark), label})
	}
	return key
}

func (n *nyquist) label(s drawnSpectrum) string {
	if s.result != nil && s.result.Status != fit.Converged {
		return s.label + " (" + n.words.Say("figure.not-converged", nil) + ")"
	}
	return s.label
}

// The looks of what does not count.
var (
	faintColour = faded(pale, 0.8)
	refusedMark = mark{shape: cross, radius: 1.3, colour: quiet}
)

// Parts of the figure beside its frame, in mm.
const (
	figureWidth       = 174.
	axisHeight        = 9.5 // below the frame
	axisWidth         = 12. // left of it
	shortest, tallest = 44., 86.
)

// height makes the frame as tall as the arcs need at equal scales.
func (n *nyquist) height() float64 {
	if n.view.empty() {
		return emptyHeight
	}
	frame := min(max((figureWidth-axisWidth)*n.view.aspect(), shortest), tallest)
	key := n.legend(newLettering()).height(vg.Length((figureWidth - axisWidth) * pointsPerMM))
	return frame + axisHeight + float64(key)/pointsPerMM
}
