package health

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"ohmledger/fit"
)

const (
	excessSure  = 3.5  // standard uncertainties beyond which a step is not what temperature and trend predict
	excessShare = 0.05 // of the ohmic resistance, from which it matters
	sharedBy    = 0.7  // of the excess of the ohmic resistance, that the arc's has to be to share it
	mostBefore  = 6    // measurements before a step of which its trend is read,
	fewestAfter = 3    // after it, where there are so many before it,
	mostAbout   = 8    // and in all
)

// What resistances do between two measurements of a cell, as standard deviations of ln R, before its history says more (working
// values, common practice): grow from one to the next, bend over the stretch that is looked at, and scatter beyond what fit and
// temperature explain.
var usualAgeing = map[resistance]struct{ growth, bend, scatter float64 }{
	ohmic:        {0.06, 0.15, 0.006},
	polarisation: {0.15, 0.6, 0.02},
}

// excess is by how much a step is not what temperature and the history's trend predict, of ln R.
type excess struct {
	along, alongU float64 // of the ohmic resistance, with standard uncertainty
	arc, arcU     float64 // of all arcs
	known         bool    // both are
}

// excess compares a step with what temperature and trend predict of it, one measurement left out; −1: none is. The steps before it
// have been judged.
func (g grounds) excess(s *specimen, i, without int) (e excess) {
	if s.steps[i].from < 0 {
		return e
	}
	along, alongU, known := g.beyond(s, i, without, ohmic)
	arc, arcU, resolved := g.beyond(s, i, without, polarisation)
	return excess{along, alongU, arc, arcU, known && resolved}
}

// alone reports a sure excess of the ohmic resistance that matters and that the arcs do not share.
func (e excess) alone() bool {
	size := math.Abs(e.along)
	shared := e.along*e.arc > 0 && math.Abs(e.arc) > math.Max(sharedBy*size, e.arcU)
	return e.known && size > excessShare && size > excessSure*e.alongU && !shared
}

// asShift is an excess as a shift along the real axis, against what is predicted.
func (e excess) asShift(ohm float64) (shift fit.Value, predicted float64) {
	predicted = ohm * math.Exp(-e.along)
	shift, _ = finite(ohm-predicted, ohm*e.alongU)
	return shift, predicted
}

func (t *step) alongExcess() float64 { return math.Expm1(t.excess.along) }
func (t *step) arcExcess() float64   { return math.Expm1(t.excess.arc) }

// like are the nearest measurements that steps connect with one and that have a resistance, in time order.
func (s *specimen) like(i, without int, r resistance) (members []int) {
	connected := map[int]bool{i: true}
	for k := i; s.steps[k].from >= 0; k = s.steps[k].from {
		connected[s.steps[k].from] = true
	}
	var before, after []int
	for k := range s.steps {
		connected[k] = connected[k] || s.steps[k].from >= 0 && connected[s.steps[k].from]
		switch {
		case k == without || !connected[k] || !(s.unmoved(k, i, r) > 0):
		case k < i:
			before = append(before, k)
		default:
			after = append(after, k) // and the one itself
		}
	}
	before = before[max(0, len(before)-mostBefore):]
	return append(before, after[:min(len(after), max(fewestAfter, mostAbout-len(before))+1)]...)
}

// unmoved is a resistance of a measurement without the shifts along the real axis that came between it and the step to another one; 0
// where it is not known.
func (s *specimen) unmoved(k, i int, r resistance) float64 {
	v := s.Measurements[k].Fit.Resistance(traits[r].element)
	switch {
	case !v.Known():
		return 0
	case r == ohmic && k < i:
		return v.Estimate() - s.steps[k].offset + s.steps[s.steps[i].from].offset
	}
	return v.Estimate()
}

// beyond is by how much one resistance steps beyond temperature and trend, with its standard uncertainty. Of the measurements
// about the step it takes
//
//	ln R = level + growth·t + bend·t(t−1) + E/R_gas·(1/T − 1/T_i)
//
// with levels of their own for those before, for the step's measurement, and for those after it, which tell of growth and
// temperature alone; by least squares with what is known of growth, bend and E beforehand. The step is what the first two
// levels differ by.
func (g grounds) beyond(s *specimen, i, without int, r resistance) (over, u float64, ok bool) {
	members := s.like(i, without, r)
	at := slices.Index(members, i)
	if at < 1 {
		return 0, 0, false
	}
	x, y := g.stretch(s, members, at, r)
	rows, columns := x.Dims()
	var qr mat.QR
	qr.Factorize(x)
	var c, rest mat.VecDense
	if qr.SolveVecTo(&c, false, y) != nil {
		return 0, 0, false
	}
	rest.MulVec(x, &c)
	rest.SubVec(y, &rest)
	dispersion := math.Max(1, mat.Norm(&rest, 2)/math.Sqrt(float64(rows-columns)))
	return c.AtVec(atStep) - c.AtVec(beforeStep), dispersion * stepDeviation(&qr, columns), true
}

// Columns of a stretch of history.
const (
	beforeStep = iota
	atStep
	afterStep
	withTime
	withBend
	withHeat
	stretchColumns
)

// stretch has a row for each measurement, over its standard deviation, and one for what is known beforehand of each column but the first two.
func (g grounds) stretch(s *specimen, members []int, at int, r resistance) (x *mat.Dense, y *mat.VecDense) {
	n := len(members)
	rows := n + stretchColumns - withTime + 1
	x, y = mat.NewDense(rows, stretchColumns, nil), mat.NewVecDense(rows, nil)
	energy, energyU := g.energyFor(r)
	usual, e := usualAgeing[r], traits[r].element
	times := s.times(members)
	here := kelvin(s.Measurements[members[at]].Row.TemperatureC)
	for k, m := range members {
		row, v := s.Measurements[m].Row, s.Measurements[m].Fit.Resistance(e)
		t := kelvin(row.TemperatureC)
		colder := (1/t - 1/here) / molarGas
		sigma := math.Hypot(math.Hypot(v.Relative(), usual.scatter), energy/(molarGas*t*t)*row.TemperatureUncertaintyC)
		level := beforeStep
		if k == at {
			level = atStep
		} else if k > at {
			level = afterStep
		}
		x.Set(k, level, 1/sigma)
		x.Set(k, withTime, times[k]/sigma)
		x.Set(k, withBend, times[k]*(times[k]-1)/sigma)
		x.Set(k, withHeat, energyU*colder/sigma)
		y.SetVec(k, (math.Log(s.unmoved(m, members[at], r))-energy*colder)/sigma)
	}
	x.Set(n, withTime, 1/(usual.growth*float64(n-1)))
	x.Set(n+1, withBend, 1/usual.bend)
	x.Set(n+2, withHeat, 1)
	x.Set(n+3, afterStep, 1e-6) // where nothing comes after
	return x, y
}

// times are the moments of measurements from 0 to 1; by number where all are of one moment.
func (s *specimen) times(members []int) []float64 {
	times := make([]float64, len(members))
	first, last := s.Measurements[members[0]].Row.MeasuredAt, s.Measurements[members[len(members)-1]].Row.MeasuredAt
	span := last.Sub(first).Hours()
	for k, m := range members {
		times[k] = float64(k) / float64(len(members)-1)
		if span > 0 {
			times[k] = s.Measurements[m].Row.MeasuredAt.Sub(first).Hours() / span
		}
	}
	return times
}

// stepDeviation is the standard deviation of the difference of the first two coefficients for data of standard deviation 1.
func stepDeviation(qr *mat.QR, columns int) float64 {
	var r, inverse mat.Dense
	qr.RTo(&r)
	if inverse.Inverse(r.Slice(0, columns, 0, columns)) != nil {
		return math.Inf(1)
	}
	var difference mat.VecDense
	difference.SubVec(inverse.RowView(atStep), inverse.RowView(beforeStep))
	return mat.Norm(&difference, 2)
}
