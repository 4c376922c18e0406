package fit

import (
	"math"
	"sort"

	"ohmledger/fit/internal/leastsq"
)

// uncertainty is the doubt of one task: how sure each spectrum's coordinates are.
//
// A residual has two parts. One scatters from sweep to sweep (noise, contacts, temperature): it makes
// neighbouring results scatter, and is what a stated uncertainty of one result must match. The other is
// the same in every sweep of a cell, because the circuit is not quite the cell: it moves all results of a
// history together and cancels in a growth as long as the cell keeps its shape.
type uncertainty struct {
	task       *task
	covariance leastsq.Covariance // for the σ of the fit, both parts together
	repeat     []float64          // what scatters of each spectrum, as a share of its σ²
	shared     float64            // the same for the shared exponents: the history's median
}

// assess evaluates the covariance where the task stands; nil where it cannot be had.
func (t *task) assess() *uncertainty {
	c, ok := t.solver.Covariance(t.locals(), t.shared)
	if !ok {
		return nil
	}
	u := &uncertainty{task: t, covariance: c, repeat: t.repeatShares()}
	u.shared = median(u.repeat)
	return u
}

// between is the covariance of spectrum i's coordinates with those of spectrum j, row-major: the part that scatters
// (repeat) or the part that is common to the history.
func (u *uncertainty) between(i, j int, repeat bool) []float64 {
	n, s := u.task.layout.local(), len(u.task.exponents)
	width := n + s
	m := make([]float64, width*width)
	local, shared := math.Max(0, 1-u.repeat[i]), math.Max(0, 1-u.shared)
	if repeat {
		local, shared = u.repeat[i], u.shared
	}
	if i == j {
		for a := range n {
			for b := range n {
				m[a*width+b] = local * u.covariance.Local[i][a*n+b]
			}
		}
	}
	li, lj := u.follows(i), u.follows(j)
	for a := range width {
		for b := range width {
			m[a*width+b] += shared * quadratic(li[a*s:(a+1)*s], u.covariance.Shared, lj[b*s:(b+1)*s])
		}
	}
	return m
}

// follows is how a spectrum's coordinates follow the shared exponents: loadings over the identity.
func (u *uncertainty) follows(i int) []float64 {
	n, s := u.task.layout.local(), len(u.task.exponents)
	f := make([]float64, (n+s)*s)
	copy(f, u.covariance.Loadings[i])
	for k := range s {
		f[(n+k)*s+k] = 1
	}
	return f
}

// quadratic is aᵀ·C·b.
func quadratic(a, c, b []float64) (sum float64) {
	for i, x := range a {
		if x == 0 {
			continue
		}
		for j, y := range b {
			if y != 0 {
				sum += x * c[i*len(b)+j] * y
			}
		}
	}
	return sum
}

// repeatShares compares each spectrum's residuals with those of its neighbours in the history: what
// agrees is the circuit's, what differs scatters. A spectrum without two neighbours of the same
// frequencies has nothing to compare with, and all of its residual counts as scatter.
func (t *task) repeatShares() []float64 {
	n := len(t.sheets)
	share := make([]float64, n)
	own := make([]float64, n)
	for i := range share {
		share[i], own[i] = 1, math.NaN()
	}
	if n < leastNeighbours {
		return share
	}
	for i := range own {
		if t.neighbours(i, i-1) && t.neighbours(i, i+1) {
			own[i] = t.differenceVariance(i)
		}
	}
	for i := range share {
		var near []float64
		for j := max(0, i-neighbourReach); j < min(n, i+neighbourReach+1); j++ {
			if t.neighbours(i, j) {
				near = append(near, own[j])
			}
		}
		window := known(near)
		if len(window) >= 3 {
			share[i] = math.Min(mostRepeat, median(window)/(t.sheets[i].sigma*t.sheets[i].sigma))
		}
	}
	return share
}

const (
	mostRepeat      = 4 // a spectrum's neighbours may scatter more than its own residuals say, but not for ever
	leastNeighbours = 5 // spectra of a history before its scatter is told from its misfit
	neighbourReach  = 4 // spectra to either side whose scatter stands for a spectrum's own
)

func known(values []float64) (k []float64) {
	for _, v := range values {
		if !math.IsNaN(v) {
			k = append(k, v)
		}
	}
	return k
}

// differenceVariance is the variance per part of a spectrum's residuals about the mean of its two
// neighbours', over the frequencies that all three share, corrected for the parameters spent and inflated
// where the differences themselves bend. NaN where the three have too little in common.
func (t *task) differenceVariance(i int) float64 {
	own, before, after := t.complexResiduals(i), t.complexResiduals(i-1), t.complexResiduals(i+1)
	var d []complex128
	for k, p := range t.sheets[i].points {
		b, a := t.sheets[i-1].pointAt(p.lnOmega), t.sheets[i+1].pointAt(p.lnOmega)
		if b >= 0 && a >= 0 {
			d = append(d, own[k]-(before[b]+after[a])/2)
		}
	}
	if len(d) < leastPoints {
		return math.NaN()
	}
	var sum float64
	for _, v := range d {
		sum += real(v)*real(v) + imag(v)*imag(v)
	}
	dof := math.Max(1, float64(2*len(d)-t.layout.local()))
	rho := math.Min(neighbourCorrelation(d), largestCorrelation)
	inflate := 1.0
	if rho > chanceCorrelation {
		inflate = (1 + rho) / (1 - rho)
	}
	return sum / 1.5 / dof * inflate
}

// sameFrequency is how far apart the logarithms of two frequencies may be that stand for one: generators step otherwise.
const sameFrequency = 0.01

// pointAt is the sheet's point at a frequency, −1 where it has none.
func (s *sheet) pointAt(lnOmega float64) int {
	at := sort.Search(len(s.points), func(k int) bool { return s.points[k].lnOmega <= lnOmega+sameFrequency })
	if at < len(s.points) && s.points[at].lnOmega >= lnOmega-sameFrequency {
		return at
	}
	return -1
}
