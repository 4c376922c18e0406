package health

import (
	"math"
	"slices"

	"ohmledger/fit"
)

// effect is what one input quantity does to a logarithm: its sensitivity times its standard uncertainty, with sign.
type effect struct {
	source string  // the line of the uncertainty budget
	input  string  // what varies: effects of equal inputs are added before they are squared
	size   float64 // 1
	shared bool    // the input is common to several measurements (an instrument's scale, an activation energy)
}

// fitted is a logarithm's dependence on the fit of one spectrum, whose covariance with others is known.
type fitted struct {
	source   string
	spectrum int // of the specimen
	element  fit.Element
	weight   float64
}

// covariance of ln R between two spectra of a specimen, 1.
type covariance func(i, j int, e fit.Element) float64

// remembered works each covariance of n spectra out once: every growth asks for those of all spectra of the first day. Not for several
// goroutines at a time.
func (c covariance) remembered(n int) covariance {
	type table struct {
		values []float64
		had    []bool
	}
	known := map[fit.Element]table{}
	return func(i, j int, e fit.Element) float64 {
		t, ok := known[e]
		if !ok {
			t = table{make([]float64, n*n), make([]bool, n*n)}
			known[e] = t
		}
		at := i*n + j
		if !t.had[at] {
			t.values[at], t.had[at] = c(i, j, e), true
		}
		return t.values[at]
	}
}

// logarithm is a linear combination of logarithms of resistances with all that it depends on, to first order.
type logarithm struct {
	value   float64
	effects []effect
	fits    []fitted
}

// plus returns l + weight·m; neither is changed.
func (l logarithm) plus(weight float64, m logarithm) logarithm {
	sum := logarithm{l.value + weight*m.value, slices.Clone(l.effects), slices.Clone(l.fits)}
	for _, e := range m.effects {
		e.size *= weight
		sum.effects = merge(sum.effects, e)
	}
	for _, f := range m.fits {
		f.weight *= weight
		sum.fits = append(sum.fits, f)
	}
	return sum
}

// with returns l with one more effect.
func (l logarithm) with(e effect) logarithm {
	l.effects = merge(slices.Clone(l.effects), e)
	return l
}

// merge adds an effect to those of the same input.
func merge(effects []effect, e effect) []effect {
	i := slices.IndexFunc(effects, func(o effect) bool { return o.input == e.input })
	if i < 0 {
		return append(effects, e)
	}
	effects[i].size += e.size
	return effects
}

// ownVariance is the variance that a single reading shares with no other, fits included.
func (l logarithm) ownVariance(cov covariance) (variance float64) {
	for _, e := range l.effects {
		if !e.shared {
			variance += e.size * e.size
		}
	}
	for _, f := range l.fits {
		variance += f.weight * f.weight * cov(f.spectrum, f.spectrum, f.element)
	}
	return variance
}

// uncertainty returns the standard uncertainty with its budget (JCGM 100:2008, 5.1.2 and 5.2.2).
func (l logarithm) uncertainty(cov covariance) (float64, []Contribution) {
	lines := append(fitLines(l.fits, cov), effectLines(l.effects)...)
	total := 0.0
	for _, line := range lines {
		total += line.variance
	}
	if !(total > negligible) {
		return 0, nil
	}
	return math.Sqrt(total), contributions(lines, total)
}
