package fit

import (
	"fmt"
	"math"
	"math/cmplx"
	"slices"

	"gonum.org/v1/gonum/mat"

	"ohmledger/fit/internal/leastsq"
)

// statuses translates the solver's words.
var statuses = map[leastsq.Status]Status{
	leastsq.Converged: Converged, leastsq.TooManySteps: TooManySteps, leastsq.Stalled: Stalled, leastsq.NotComputable: NotComputable,
}

// describe fills the result of one spectrum from the task that solved it.
func describe(t *task, u *uncertainty, i int, tr *trace) *Result {
	x := t.at(i)
	r := &Result{Status: statuses[t.status], Arcs: 1, Parameters: t.parameters(&x), PointsUsed: len(t.sheets[i].points),
		Excluded: tr.excluded, Unresolved: map[Element]string{}, Because: map[Element]Statement{}}
	if t.film {
		r.Arcs = 2
	}
	r.describeResiduals(t, i, tr)
	if u == nil {
		r.Status = NotComputable
	}
	if r.Status == NotComputable || math.IsNaN(r.RMSResidual) {
		r.unresolve(because("unresolved-no-fit", "no fit could be computed"))
		return r
	}
	r.describeValues(t, u, i)
	r.describeCorrelation(t, u, i)
	r.resolve(u, i)
	r.doubts(t, i, tr)
	return r
}

// describeResiduals evaluates the fitted curve and what it leaves.
func (r *Result) describeResiduals(t *task, i int, tr *trace) {
	var sum float64
	used := make(map[int]bool, r.PointsUsed)
	for _, p := range t.sheets[i].points {
		used[p.index] = true
	}
	var re, im []float64
	for _, p := range tr.all {
		f := r.Parameters.Impedance(math.Exp(p.lnOmega) / (2 * math.Pi))
		d := scaled(1/math.Max(cmplx.Abs(p.z), math.SmallestNonzeroFloat64), p.z-f)
		r.Fitted, r.Residuals = append(r.Fitted, f), append(r.Residuals, d)
		if !used[p.index] {
			continue
		}
		re, im = append(re, real(d)), append(im, imag(d))
		noise := math.Hypot(tr.measured.RelativeNoise*cmplx.Abs(p.z), tr.measured.AbsoluteNoiseOhm)
		sum += (real(p.z-f)*real(p.z-f) + imag(p.z-f)*imag(p.z-f)) / (noise * noise)
	}
	spent := float64(t.layout.local())
	if !t.led {
		spent += float64(t.layout.shared()) / float64(len(t.sheets))
	}
	dof := math.Max(1, float64(2*r.PointsUsed)-spent)
	r.RMSResidual = t.rms(i)
	r.ChiSquare = sum / dof
	if math.IsInf(r.ChiSquare, 0) {
		r.ChiSquare = math.NaN() // the instrument states no uncertainty
	}
	r.RunsZ = leastsq.RunsScore(re, im)
}

// describeValues makes the values with their uncertainties.
func (r *Result) describeValues(t *task, u *uncertainty, i int) {
	c, p := u.between(i, i, true), r.Parameters
	l := t.layout
	r.Ohmic = logValue(p.Ohmic, l.gradient(Ohmic, p), c)
	r.ChargeTransfer = logValue(p.ChargeTransfer, l.gradient(ChargeTransfer, p), c)
	r.Polarisation = logValue(p.ChargeTransfer+p.Film, l.gradient(Polarisation, p), c)
	r.ChargeTransferTimeConstant = logValue(p.ChargeTransferTimeConstant, l.unit(slotTransferTime, 1), c)
	r.ChargeTransferExponent = l.exponentValue(slotTransferExponent, p.ChargeTransferExponent, c)
	if l.film {
		r.Film = logValue(p.Film, l.gradient(Film, p), c)
		r.FilmTimeConstant = logValue(p.FilmTimeConstant, l.unit(slotFilmTime, 1), c)
		r.FilmExponent = l.exponentValue(slotFilmExponent, p.FilmExponent, c)
	}
	if l.lead {
		r.InductanceExponent = l.exponentValue(slotLeadExponent, p.LeadExponent, c)
		r.Inductance = logValue(p.inductance(t.sheets[i].points[0].lnOmega), l.unit(slotLead, 1), c)
	}
	if l.diffusion {
		r.DiffusionExponent = l.exponentValue(slotDiffusionExponent, p.DiffusionExponent, c)
		g := l.unit(slotDiffusion, 1)
		if at := l.place(slotDiffusionExponent); at >= 0 {
			g[at] = exponentBounds[slotDiffusionExponent].slope(p.DiffusionExponent) * lnDiffusionOmega
		}
		r.Warburg = logValue(p.Diffusion/math.Sqrt2, g, c)
	}
}

// inductance is the ideal inductance that has the leads' reactance at the given frequency, henry.
func (p Parameters) inductance(lnOmega float64) float64 {
	return p.LeadCoefficient * math.Exp((p.LeadExponent-1)*lnOmega) * math.Sin(p.LeadExponent*math.Pi/2)
}

// slotNames name the coordinates in tables.
var slotNames = [slotCount]string{
	slotLead: "lead inductance", slotOhmic: "ohmic resistance", slotFilm: "film resistance", slotFilmTime: "film time constant",
	slotTransfer: "charge-transfer resistance", slotTransferTime: "charge-transfer time constant", slotDiffusion: "diffusion coefficient",
	slotLeadExponent: "lead exponent", slotFilmExponent: "film exponent", slotTransferExponent: "charge-transfer exponent",
	slotDiffusionExponent: "diffusion exponent",
}

// describeCorrelation fills the correlation matrix, common and scattering parts together.
func (r *Result) describeCorrelation(t *task, u *uncertainty, i int) {
	c, common := u.between(i, i, true), u.between(i, i, false)
	for _, slot := range t.slots() {
		r.ParameterNames = append(r.ParameterNames, slotNames[slot])
	}
	n := len(r.ParameterNames)
	for k := range c {
		c[k] += common[k]
	}
	for a := range n {
		row := make([]float64, n)
		for b := range n {
			row[b] = correlation(c[a*n+b], c[a*n+a], c[b*n+b])
		}
		r.Correlation = append(r.Correlation, row)
	}
	r.Condition = condition(r.Correlation)
}

// condition is the ratio of the largest to the smallest eigenvalue of a correlation matrix; NaN where it is singular.
func condition(correlation [][]float64) float64 {
	n := len(correlation)
	m := mat.NewSymDense(n, nil)
	for a := range n {
		for b := a; b < n; b++ {
			m.SetSym(a, b, correlation[a][b])
		}
	}
	var e mat.EigenSym
	if n == 0 || !e.Factorize(m, false) {
		return math.NaN()
	}
	values := e.Values(nil)
	if !(values[0] > 0) {
		return math.NaN()
	}
	return values[n-1] / values[0]
}

// slots are the coordinates of one spectrum in the order of its covariance.
func (t *task) slots() []int { return slices.Concat(t.sizes, t.exponents) }

func correlation(covariance, a, b float64) float64 {
	v := covariance / math.Sqrt(a*b)
	if math.IsNaN(v) {
		return 0
	}
	return math.Max(-1, math.Min(1, v))
}

// resolvedWithin is the largest relative standard uncertainty, scatter and misfit together, at which a
// resistance still counts as measured: beyond it a factor of two is within the expanded uncertainty.
const resolvedWithin = 0.35

// describedWithin is the largest rms residual at which the circuit still describes a spectrum.
const describedWithin = 0.05

// resolve decides which resistances are measured and gives the reason for those that are not.
func (r *Result) resolve(u *uncertainty, i int) {
	if r.RMSResidual > describedWithin {
		r.unresolve(because("unresolved-not-described",
			fmt.Sprintf("the circuit does not describe this spectrum: it leaves %.1f %% of |Z|", 100*r.RMSResidual), fraction("misfit", r.RMSResidual)))
		return
	}
	c, common := u.between(i, i, true), u.between(i, i, false)
	for e := Ohmic; e < elementCount; e++ {
		g := u.task.gradient(e, r.Parameters)
		if g == nil {
			continue
		}
		r.LogModelU[e] = finite(math.Sqrt(g.variance(common, g)))
		own := math.Sqrt(g.variance(c, g))
		total := math.Hypot(own, r.LogModelU[e])
		if wide := r.widen(u, i, e, total); wide > total {
			own *= wide / total
			r.LogModelU[e] *= wide / total
			total = wide
			r.remember(e, own)
		}
		if !(total <= resolvedWithin) {
			r.forget(e, because("unresolved-uncertain", fmt.Sprintf("the data leave it a relative standard uncertainty of %s", percent(total)), relative("uncertainty", total)))
		}
	}
}

func percent(x float64) string {
	if !(x < 9.99) {
		return "more than 1000 %"
	}
	return fmt.Sprintf("%.0f %%", 100*x)
}

func finite(x float64) float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return 0
	}
	return x
}

func (r *Result) unresolve(why Statement) {
	for e := Ohmic; e < elementCount; e++ {
		r.forget(e, why)
	}
}

// remember puts a resistance's relative standard uncertainty in place.
func (r *Result) remember(e Element, u float64) {
	v := r.value(e)
	if v.Known() && !math.IsInf(u, 0) && !math.IsNaN(u) {
		*v = NewValue(v.Estimate(), u*v.Estimate())
	}
}

func (r *Result) value(e Element) *Value {
	return [...]*Value{&r.Ohmic, &r.Film, &r.ChargeTransfer, &r.Polarisation}[e]
}

// forget takes a resistance's value away, and its arc's time constant and exponent with it, and keeps the reason.
func (r *Result) forget(e Element, why Statement) {
	*r.value(e) = Value{}
	r.Unresolved[e], r.Because[e] = why.Text, why
	switch e {
	case Film:
		r.FilmTimeConstant, r.FilmExponent = Value{}, Value{}
	case ChargeTransfer:
		r.ChargeTransferTimeConstant, r.ChargeTransferExponent = Value{}, Value{}
	}
}
