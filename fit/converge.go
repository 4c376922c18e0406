package fit

import (
	"math"
	"math/cmplx"
	"slices"
)

// departs is how many times the history's typical residual a spectrum's may be before it no longer
// counts fully towards the shared exponents.
const departs = 3

// leastSigma keeps the weights finite for data without noise.
const leastSigma = 1e-10

// settle goes on from a rough solution and weighs every spectrum by the residuals it leaves, until they settle.
func (t *task) settle(traces []*trace) {
	if t.cutPickUp(traces) {
		t.solve(rough)
	}
	for n := range 4 {
		settled := t.settleSigmas()
		moved := t.polish(traces)
		if n > 0 && settled && !moved {
			break
		}
		t.solve(fine)
	}
}

// temper asks, once the fit has settled, how far the residuals bend, and gives the data as much less weight against what
// is expected of the exponents. Asked earlier, a fit held off by expectations would take its own misfit for a
// reason to be held off further.
func (t *task) temper() {
	inflate := t.inflation()
	if inflate == 1 {
		return
	}
	for _, s := range t.sheets {
		s.sigma *= inflate
	}
	t.strain, t.solver = strainOf(inflate), nil
	t.solve(fine)
}

// settleSigmas sets each spectrum's σ from its residuals: near the history's median for all that behave
// like the others, its own for one that departs. It reports whether none changed by more than a tenth.
func (t *task) settleSigmas() (settled bool) { return t.weighSigmas(t.typicalRMS()) }

// weighSigmas is settleSigmas with what is typical of the residuals given.
func (t *task) weighSigmas(typical float64) (settled bool) {
	settled = true
	for i, s := range t.sheets {
		rms := t.rms(i)
		sigma := math.Max(rms, 0.5*typical)
		if rms > departs*typical {
			sigma *= rms / (departs * typical) // its pull on the others falls with its misfit
		}
		sigma = math.Max(sigma, leastSigma)
		if math.Abs(math.Log(sigma/s.sigma)) > 0.1 {
			settled = false
		}
		s.sigma = sigma
	}
	return settled
}

// median of the values, NaN of none.
func median(values []float64) float64 { return quantile(values, 0.5) }

// quantile is the value below which the given share of the values lies; NaN of none.
func quantile(values []float64, share float64) float64 {
	if len(values) == 0 {
		return math.NaN()
	}
	v := slices.Clone(values)
	slices.Sort(v)
	at := share * float64(len(v)-1)
	low := int(at)
	high := min(low+1, len(v)-1)
	if v[low] == v[high] {
		return v[low] // also where both are infinite
	}
	return v[low] + (at-float64(low))*(v[high]-v[low])
}

// Pick-up is a point that stands out from its two neighbours' residuals, not from the curve: a misfit of the
// circuit bends the residuals, interference makes one jump. Limits: in units of the robust scatter of such
// jumps, and relative to |Z|, so that points of a very quiet sweep are not thrown out; common practice.
const (
	jumpLimit   = 8
	jumpLeast   = 0.004
	jumpsAtMost = 0.1 // of the points; beyond, the sweep is noisy rather than disturbed
)

// cutPickUp leaves out single points that jump; it reports whether any was.
func (t *task) cutPickUp(traces []*trace) (any bool) {
	for i, s := range t.sheets {
		cut := jumping(t.complexResiduals(i))
		if len(cut) == 0 || float64(len(cut)) > jumpsAtMost*float64(len(s.points)) || len(s.points)-len(cut) < leastPoints {
			continue
		}
		any, t.solver = true, nil
		for k := len(cut) - 1; k >= 0; k-- {
			traces[i].exclude(s.points[cut[k]],
				because("excluded-stands-out", "stands out from its neighbours: interference such as mains pick-up, or a change of range"))
			s.points = slices.Delete(slices.Clone(s.points), cut[k], cut[k]+1)
		}
	}
	return any
}

func (t *task) complexResiduals(i int) []complex128 {
	r := make([]float64, 2*len(t.sheets[i].points))
	t.relative(i, r)
	c := make([]complex128, len(t.sheets[i].points))
	for k := range c {
		c[k] = complex(r[2*k], r[2*k+1])
	}
	return c
}

// jumping lists the points whose residual jumps against the mean of its neighbours'.
func jumping(residuals []complex128) (cut []int) {
	if len(residuals) < 5 {
		return nil
	}
	jump := make([]float64, len(residuals))
	for k := 1; k < len(residuals)-1; k++ { // an end has one neighbour: nothing to tell a jump from a bend by
		jump[k] = cmplx.Abs(residuals[k] - (residuals[k-1]+residuals[k+1])/2)
	}
	limit := math.Max(jumpLimit*median(jump[1:len(jump)-1]), jumpLeast)
	for k := 1; k < len(jump)-1; k++ {
		if jump[k] > limit && jump[k] >= jump[k-1] && jump[k] >= jump[k+1] {
			cut = append(cut, k)
		}
	}
	return cut
}

// Residuals of real spectra bend rather than scatter: neighbours agree, so that fewer of them count. The
// effective variance of a mean of residuals whose neighbours correlate by ρ is (1+ρ)/(1−ρ) times that of
// independent ones (first-order autoregression; Priestley, Spectral Analysis and Time Series, 1981, 5.3.2).
const (
	chanceCorrelation  = 0.25 // what independent residuals of one sweep show by chance in one of a hundred cases
	largestCorrelation = 0.95
)

// inflation is the factor on σ that structured residuals call for, 1 where they scatter freely.
func (t *task) inflation() float64 {
	rho := make([]float64, len(t.sheets))
	for i := range rho {
		rho[i] = neighbourCorrelation(t.complexResiduals(i))
	}
	r := math.Min(median(rho), largestCorrelation)
	if !(r > chanceCorrelation) {
		return 1
	}
	return math.Sqrt((1 + r) / (1 - r))
}

// neighbourCorrelation is the lag-one correlation of residuals about zero, both parts together.
func neighbourCorrelation(residuals []complex128) float64 {
	var product, square float64
	for k, r := range residuals {
		square += real(r)*real(r) + imag(r)*imag(r)
		if k > 0 {
			product += real(r)*real(residuals[k-1]) + imag(r)*imag(residuals[k-1])
		}
	}
	if square == 0 {
		return 0
	}
	return product / square
}
