package fit

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// steadyOdds are those of exponents that stay against exponents that drift before the spectra have spoken: they belong to a cell's
// build; a convention of ours. driftSizes are how large a drift may be, as shares of driftSpread; all of them, and all choices
// of the exponents that drift, are as probable at first.
const steadyOdds = 3

var driftSizes = [...]float64{0.1, 0.3, 1}

// driftModels is what the spectra say of the coefficients of a drift: the quadratic of their log-likelihood, the middle of
// the exponents integrated out.
type driftModels struct {
	exponents int
	precision *mat.SymDense // coefficients × coefficients
	pull      *mat.VecDense // precision times the most likely coefficients
	centre    []float64     // how the exponents' middle follows the coefficients: exponents × coefficients
}

// newDriftModels takes the prior out of a fit's posterior: covariance is of the exponents' middle and then the coefficients,
// at their estimate. ok is false where it cannot be inverted.
func newDriftModels(covariance, estimate []float64, exponents int) (m driftModels, ok bool) {
	k := len(estimate)
	size := exponents + k
	var c mat.Cholesky
	for _, v := range covariance {
		if math.IsInf(v, 0) || math.IsNaN(v) {
			return m, false
		}
	}
	if !c.Factorize(mat.NewSymDense(size, covariance)) {
		return m, false
	}
	var p mat.SymDense
	if c.InverseTo(&p) != nil {
		return m, false
	}
	pull := mat.NewVecDense(size, nil)
	pull.MulVec(&p, mat.NewVecDense(size, append(make([]float64, exponents), estimate...)))
	for i := exponents; i < size; i++ {
		p.SetSym(i, i, p.At(i, i)-1/(driftSpread*driftSpread))
	}
	return integrated(&p, pull, exponents)
}

// integrated takes the first parameters out of a Gaussian of the given precision and pull.
func integrated(p *mat.SymDense, pull *mat.VecDense, first int) (m driftModels, ok bool) {
	size := p.SymmetricDim()
	k := size - first
	var middle mat.Cholesky
	if !middle.Factorize(p.SliceSym(0, first)) {
		return m, false
	}
	cross := mat.DenseCopyOf(p).Slice(0, first, first, size)
	var follows mat.Dense
	if middle.SolveTo(&follows, cross) != nil {
		return m, false
	}
	m = driftModels{exponents: first, precision: mat.NewSymDense(k, nil), pull: mat.NewVecDense(k, nil), centre: make([]float64, first*k)}
	var gain mat.Dense
	gain.Mul(cross.T(), &follows)
	for i := range k {
		for j := i; j < k; j++ {
			m.precision.SetSym(i, j, p.At(first+i, first+j)-(gain.At(i, j)+gain.At(j, i))/2)
		}
		taken := 0.0
		for e := range first {
			taken += follows.At(e, i) * pull.AtVec(e)
			m.centre[e*k+i] = -follows.At(e, i)
		}
		m.pull.SetVec(i, pull.AtVec(first+i)-taken)
	}
	return m, true
}

// average gives the probability that any exponent drifts, and the second moment of the coefficients about none, over all
// choices of the exponents that drift and all sizes of a drift (evidence of a linear model: MacKay, Information Theory,
// Inference, and Learning Algorithms, 2003, chapter 28).
func (m driftModels) average() (probability float64, moment []float64) {
	k := m.pull.Len()
	moment = make([]float64, k*k)
	most := max(0, m.posterior(m.places(1<<m.exponents-1), driftSpread).evidence) // keeps exp within what can be computed with
	choices := 1 << m.exponents
	none := steadyOdds * float64(choices-1) * math.Exp(-most)
	all := none
	for chosen := 1; chosen < choices; chosen++ {
		places := m.places(chosen)
		for _, size := range driftSizes {
			p := m.posterior(places, size*driftSpread)
			weight := math.Exp(p.evidence-most) / float64(len(driftSizes))
			p.add(moment, places, k, weight)
			all += weight
		}
	}
	for i := range moment {
		moment[i] /= all
	}
	return 1 - none/all, moment
}

// places of the coefficients of the chosen exponents, a bit each.
func (m driftModels) places(chosen int) (places []int) {
	for shape := range driftShapes {
		for e := range m.exponents {
			if chosen>>e&1 == 1 {
				places = append(places, shape*m.exponents+e)
			}
		}
	}
	return places
}

// driftPosterior is what is known of some coefficients under one model.
type driftPosterior struct {
	mean       mat.VecDense
	covariance mat.SymDense
	evidence   float64 // logarithm of the probability of the data over that without drift
}

// posterior under the model in which the coefficients at some places have a standard deviation before the spectra have spoken.
func (m driftModels) posterior(places []int, deviation float64) (d driftPosterior) {
	n := len(places)
	q, b := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
	for i, p := range places {
		b.SetVec(i, m.pull.AtVec(p))
		for j := i; j < n; j++ {
			q.SetSym(i, j, m.precision.At(p, places[j]))
		}
		q.SetSym(i, i, q.At(i, i)+1/(deviation*deviation))
	}
	var c mat.Cholesky
	if !c.Factorize(q) || c.InverseTo(&d.covariance) != nil {
		d.evidence = math.Inf(-1)
		return d
	}
	d.mean.MulVec(&d.covariance, b)
	d.evidence = mat.Dot(b, &d.mean)/2 - c.LogDet()/2 - float64(n)*math.Log(deviation)
	return d
}

// add counts the second moment by a weight.
func (d *driftPosterior) add(moment []float64, places []int, k int, weight float64) {
	if !(weight > 0) {
		return
	}
	for i, p := range places {
		for j, o := range places {
			moment[p*k+o] += weight * (d.covariance.At(i, j) + d.mean.AtVec(i)*d.mean.AtVec(j))
		}
	}
}
