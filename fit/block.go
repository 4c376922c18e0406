package fit

import (
	"math"

	"ohmledger/fit/internal/leastsq"
)

// layout says where the coordinates of a structure stand in the solver's parameters. Sizes and times are
// local to a spectrum. Exponents are shared by all spectra of a fit; where they drift, they also have a
// slope along the history; where they are fixed, the solver does not see them.
type layout struct {
	structure
	sizes, exponents []int // slots
	pinned           []pin
	drift            bool
	strain           float64   // 0 to 1, how far the circuit's misfit strains the exponents
	fixed            []float64 // exponents' coordinates; nil: shared
}

// pin holds an exponent that the data push against its bound: an ideal inductor, say.
type pin struct {
	slot       int
	coordinate float64
}

func newLayout(s structure) layout {
	l := layout{structure: s}
	for _, slot := range s.slots() {
		if slot < firstExponent {
			l.sizes = append(l.sizes, slot)
		} else {
			l.exponents = append(l.exponents, slot)
		}
	}
	return l
}

func (l layout) local() int { return len(l.sizes) }

func (l layout) shared() int {
	switch {
	case l.fixed != nil:
		return 0
	case l.drift:
		return (1 + driftShapes) * len(l.exponents)
	}
	return len(l.exponents)
}

// vector assembles the coordinates of one spectrum.
func (l layout) vector(local, shared []float64, position float64) (x vector) {
	for i, slot := range l.sizes {
		x[slot] = local[i]
	}
	for _, p := range l.pinned {
		x[p.slot] = p.coordinate
	}
	if l.fixed != nil {
		shared = l.fixed
	}
	for i, slot := range l.exponents {
		x[slot] = shared[i]
		if l.drift {
			for k, shape := range driftShape(position) {
				x[slot] += shape * shared[(1+k)*len(l.exponents)+i]
			}
		}
	}
	return x
}

// sheet is one spectrum made ready for the solver.
type sheet struct {
	points   []point // those used, highest frequency first
	sigma    float64 // residual standard deviation per part, 1; scales the block
	position float64 // along the history, −1 to 1
	history  int     // which history it belongs to
	expected vector  // where the outline puts sizes and times
	held     *pin    // a size held where a profile wants it; nil: none
}

// largestCoordinate keeps exp() of a size or time within what can be computed with: a step beyond is refused.
const largestCoordinate = 60

// block is a spectrum's residuals, (model − measured)·weight/σ, real and imaginary parts in turn, then its sizes' expectations.
func (l layout) block(s *sheet) leastsq.Block {
	cols, n := l.local()+l.shared(), 2*len(s.points)
	return leastsq.Block{Rows: n + len(l.sizes), Local: l.local(), Eval: func(local, shared, residual, jacobian []float64) bool {
		for _, v := range local {
			if !(math.Abs(v) < largestCoordinate) {
				return false
			}
		}
		x := l.vector(local, shared, s.position)
		e := l.evaluator(&x)
		l.sizeRows(s, local, residual[n:], jacobian, n*cols)
		if jacobian == nil {
			s.residuals(&e, residual)
			return true
		}
		var d [slotCount]complex128
		for i := range s.points {
			p := &s.points[i]
			w := p.weight / s.sigma
			r := scaled(w, e.impedance(p.lnOmega, &d)-p.z)
			residual[2*i], residual[2*i+1] = real(r), imag(r)
			l.row(&d, w, s.position, jacobian[2*i*cols:(2*i+1)*cols], jacobian[(2*i+1)*cols:(2*i+2)*cols])
		}
		return true
	}}
}

// sizeSpread is the standard deviation of a size's or time's logarithm about what the outline says: a factor
// of about ten either way. It keeps an element that the data do not show from running away, and gives way
// to any data that show it.
const sizeSpread = 2.5

// sizeRows holds sizes and times to what the outline says, one row each.
func (l layout) sizeRows(s *sheet, local, residual, jacobian []float64, at int) {
	for j, slot := range l.sizes {
		centre, spread := s.expectedSize(slot)
		residual[j] = (local[j] - centre) / spread
	}
	if jacobian == nil {
		return
	}
	rows := jacobian[at:]
	clear(rows)
	for j, slot := range l.sizes {
		_, spread := s.expectedSize(slot)
		rows[j*(l.local()+l.shared())+j] = 1 / spread
	}
}

// heldSpread holds a size to six digits of its logarithm.
const heldSpread = 1e-6

func (s *sheet) expectedSize(slot int) (centre, spread float64) {
	if s.held != nil && s.held.slot == slot {
		return s.held.coordinate, heldSpread
	}
	return s.expected[slot], sizeSpread
}

func (s *sheet) residuals(e *evaluator, residual []float64) {
	for i := range s.points {
		p := &s.points[i]
		r := scaled(p.weight/s.sigma, e.impedance(p.lnOmega, nil)-p.z)
		residual[2*i], residual[2*i+1] = real(r), imag(r)
	}
}

// row lays the derivatives of one point out in the solver's columns.
func (l layout) row(d *[slotCount]complex128, w, position float64, re, im []float64) {
	for j, slot := range l.sizes {
		re[j], im[j] = w*real(d[slot]), w*imag(d[slot])
	}
	if l.fixed != nil {
		return
	}
	at, n := len(l.sizes), len(l.exponents)
	for j, slot := range l.exponents {
		re[at+j], im[at+j] = w*real(d[slot]), w*imag(d[slot])
		if l.drift {
			for k, shape := range driftShape(position) {
				to := at + (1+k)*n + j
				re[to], im[to] = shape*re[at+j], shape*im[at+j]
			}
		}
	}
}

// expectation is what is known of an exponent before a spectrum is seen: centre and standard deviation of its
// coordinate. It counts as one residual against all points of all spectra, so that it decides only what they leave open.
//
// Where the circuit misfits, its best-fitting exponents are no longer estimates of the cell's: they bend to take
// up what the circuit lacks. strained is the standard deviation then.
type expectation struct{ centre, spread, strained float64 }

// expectations: centres 0.91, 0.81, 0.88 and 0.50 with standard deviations of about 0.05, 0.10, 0.08 and 0.05;
// common practice for lithium-ion cells (porous electrodes flatten arcs and tails). Under strain the film's is 0.02: at the top
// of the band a flat film arc and a lossy lead stand for each other, and a misfit would else slide the ohmic
// resistance below all that was measured. That value is a convention of ours, chosen so that the arcs of a cell followed from
// 25 to −20 °C stay as wide as a ruler on its plot says (measured_test.go). How an arc is divided under strain
// rests on it, which is why the misfit is carried as an uncertainty of its own.
var expectations = [slotCount]expectation{
	slotLeadExponent:      {1.9, 0.6, 0.6},
	slotFilmExponent:      {0.75, 0.8, 0.09},
	slotTransferExponent:  {1.4, 0.8, 0.8},
	slotDiffusionExponent: {-0.4, 0.28, 0.28},
}

// fullStrain is the inflation of σ at which the strained expectation holds in full; half of it on a
// logarithmic scale mixes both evenly.
const fullStrain = 2

// strainOf is 0 for residuals that scatter, 1 for those that bend.
func strainOf(inflation float64) float64 {
	return min(max(math.Log(inflation)/math.Log(fullStrain), 0), 1)
}

// width is the standard deviation in force.
func (e expectation) width(strain float64) float64 {
	return math.Pow(e.spread, 1-strain) * math.Pow(e.strained, strain)
}

// driftSpread is how far an exponent's coordinate may drift between the middle and either end of a
// history before the data have spoken: about 0.03 in an exponent of 0.8; common practice.
const driftSpread = 0.15

// driftShapes is how many shapes along the history a drift is made of: a slope and a bow.
const driftShapes = 2

// driftShape is the shapes at a position from −1 to 1 (Legendre polynomials: Abramowitz & Stegun, 22.4).
func driftShape(position float64) [driftShapes]float64 {
	return [driftShapes]float64{position, (3*position*position - 1) / 2}
}

// expected is the block that holds the shared exponents to what is known of them.
func (l layout) expected() leastsq.Block {
	n := l.shared()
	return leastsq.Block{Rows: n, Eval: func(_, shared, residual, jacobian []float64) bool {
		for i := range n {
			centre, width := 0.0, driftSpread
			if i < len(l.exponents) {
				e := expectations[l.exponents[i]]
				centre, width = e.centre, e.width(l.strain)
			}
			residual[i] = (shared[i] - centre) / width
			if jacobian != nil {
				clear(jacobian[i*n : (i+1)*n])
				jacobian[i*n+i] = 1 / width
			}
		}
		return true
	}}
}
