package health

import (
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/mat"

	"ohmledger/fit"
)

// difference of two spectra of one cell, b − a, in the ways in which two measurements of a cell differ:
//
//	ΔZ = shift + inductance·(jω)^β + arc·Z_arcs(ω) + slowing·∂Z_arcs/∂ln τ + tail·(jω)^−γ
//
// with the leads' exponent β, the arcs Z_arcs and the diffusion's exponent γ of a's fit: the linear part of what leads, contacts, and a
// cell that ages or changes its temperature do. Fitted by least squares with weights 1/|Z|.
type difference struct {
	shift      fit.Value // ohm, along the real axis
	inductance fit.Value // henry
	arc        fit.Value // 1: growth of all arcs; unknown where a shows none
	slowing    fit.Value // 1: change of the logarithm of their time constants
	rms        float64   // of what is left, per part, of |Z|, 1
	arcs       float64   // ohm, all arcs of a
	ohmic      float64   // ohm, of a
}

// fewestCommon is the number of frequencies that two spectra must share to be compared.
const fewestCommon = 6

// differ compares b with a. False where they share too few frequencies.
func differ(a, b *Measurement) (d difference, ok bool) {
	points := common(a, b)
	if len(points) < fewestCommon {
		return d, false
	}
	columns := columnsOf(a.Fit, points)
	for len(columns) > 1 {
		if d, ok = solve(points, columns); ok {
			break
		}
		columns = columns[:len(columns)-1] // the last one cannot be told from those before it
	}
	if a.Fit != nil {
		d.arcs, d.ohmic = a.Fit.Parameters.Film+a.Fit.Parameters.ChargeTransfer, a.Fit.Parameters.Ohmic
	}
	return d, ok
}

// pair is what two spectra say at one frequency.
type pair struct {
	hz       float64
	a, delta complex128
}

// common are the frequencies of a that b's band holds, without points that either fit left out. Where b has no point at
// a frequency its spectrum is interpolated.
func common(a, b *Measurement) (points []pair) {
	x, y := nodes(b.Spectrum)
	xa, ya := nodes(a.Spectrum)
	n := len(x)
	if n < 2 {
		return nil
	}
	left := leftOut(a.Fit, b.Fit)
	const same = 1e-9
	for i, at := range xa {
		if at > x[0]+same || at < x[n-1]-same || left[math.Round(at/logApart)] || ya[i] == 0 {
			continue
		}
		z, _ := interpolated(x, y, at)
		points = append(points, pair{math.Exp(at), ya[i], z - ya[i]})
	}
	return points
}

// logApart is how near two frequencies are to count as one, in ln f.
const logApart = 1e-3

func leftOut(fits ...*fit.Result) map[float64]bool {
	left := map[float64]bool{}
	for _, f := range fits {
		if f == nil {
			continue
		}
		for _, e := range f.Excluded {
			left[math.Round(math.Log(e.FrequencyHz)/logApart)] = true
		}
	}
	return left
}

// columnsOf are the ways in which a spectrum may differ from that of a fit, in the order in which they matter.
func columnsOf(f *fit.Result, points []pair) (columns []func(hz float64) complex128) {
	beta, gamma := 1.0, 0.5
	if f != nil && f.InductanceExponent.Known() {
		beta = f.InductanceExponent.Estimate()
	}
	if f != nil && f.DiffusionExponent.Known() {
		gamma = f.DiffusionExponent.Estimate()
	}
	highest, lowest := points[0].hz, points[len(points)-1].hz
	columns = append(columns,
		func(float64) complex128 { return 1 },
		func(hz float64) complex128 { // one henry at the highest frequency
			return cmplx.Rect(2*math.Pi*highest*math.Pow(hz/highest, beta), beta*math.Pi/2)
		})
	if f == nil || f.Status != fit.Converged || !(f.Parameters.ChargeTransfer > 0) {
		return columns
	}
	arcs := f.Parameters
	arcs.LeadCoefficient, arcs.Ohmic, arcs.Diffusion = 0, 0, 0
	return append(columns, arcs.Impedance,
		func(hz float64) complex128 { // Z_arcs(ωτ): ∂/∂ln τ = ∂/∂ln ω
			const h = 0.01
			return (arcs.Impedance(hz*math.Exp(h)) - arcs.Impedance(hz*math.Exp(-h))) / (2 * h)
		},
		func(hz float64) complex128 { return cmplx.Rect(math.Pow(hz/lowest, -gamma), -gamma*math.Pi/2) })
}

// solve finds the coefficients. False where the columns cannot be told apart.
func solve(points []pair, columns []func(hz float64) complex128) (d difference, ok bool) {
	n, p := len(points), len(columns)
	x, y := mat.NewDense(2*n, p, nil), mat.NewVecDense(2*n, nil)
	for i, point := range points {
		w := complex(1/cmplx.Abs(point.a), 0)
		for k, column := range columns {
			z := column(point.hz) * w
			x.Set(i, k, real(z))
			x.Set(n+i, k, imag(z))
		}
		z := point.delta * w
		y.SetVec(i, real(z))
		y.SetVec(n+i, imag(z))
	}
	scales := normalise(x)
	var qr mat.QR
	qr.Factorize(x)
	var c mat.VecDense
	const tellable = 1e8
	if 2*n <= p || qr.Cond() > tellable || qr.SolveVecTo(&c, false, y) != nil {
		return d, false
	}
	var rest mat.VecDense
	rest.MulVec(x, &c)
	rest.SubVec(y, &rest)
	d.rms = mat.Norm(&rest, 2) / math.Sqrt(float64(2*n))
	sigma := mat.Norm(&rest, 2) / math.Sqrt(float64(2*n-p))
	u := deviations(&qr, p)
	values := [...]*fit.Value{&d.shift, &d.inductance, &d.arc, &d.slowing}
	for k := range min(p, len(values)) {
		*values[k], _ = finite(c.AtVec(k)/scales[k], sigma*u[k]/scales[k])
	}
	return d, d.shift.Known()
}

// normalise brings the columns to length one and returns what they were.
func normalise(x *mat.Dense) (lengths []float64) {
	rows, columns := x.Dims()
	for k := range columns {
		length := max(mat.Norm(x.ColView(k), 2), math.SmallestNonzeroFloat32)
		lengths = append(lengths, length)
		for i := range rows {
			x.Set(i, k, x.At(i, k)/length)
		}
	}
	return lengths
}

// deviations are the standard deviations of the coefficients for data of standard deviation 1: roots of the diagonal of (RᵀR)⁻¹.
func deviations(qr *mat.QR, p int) (u []float64) {
	var r, inverse mat.Dense
	qr.RTo(&r)
	if inverse.Inverse(r.Slice(0, p, 0, p)) != nil {
		return make([]float64, p)
	}
	for k := range p {
		u = append(u, mat.Norm(inverse.RowView(k), 2))
	}
	return u
}
