package figure

import "gonum.org/v1/plot/vg/draw"

// Figure is a drawing that every format shows alike. It is laid out anew for whatever canvas it is drawn into, so
// that Width and Height may be changed; it keeps no state, and several may be drawn side by side.
type Figure struct {
	Name          string              // file name without ending, unique in a report: "A-003-nyquist"
	Caption       string              // what the figure shows, one or two sentences
	Width, Height float64             // mm, as drawn into the PDF
	Draw          func(c draw.Canvas) // draws into the whole canvas
}
