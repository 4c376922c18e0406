package fit

import (
	"math"
)

// structure says which elements of the circuit a fit uses. Without arcs the diffusion alone is in series.
type structure struct{ lead, film, diffusion, noArc bool }

// Slots of a full parameter vector. Sizes and times are logarithms, exponents pass through a bound.
const (
	slotLead         = iota // ln |Z_L| at leadOmega, ohm
	slotOhmic               // ln R_Ω, ohm
	slotFilm                // ln R_f, ohm
	slotFilmTime            // ln τ_f, second
	slotTransfer            // ln R_ct, ohm
	slotTransferTime        // ln τ_c, second
	slotDiffusion           // ln |Z_d| at diffusionOmega, ohm
	slotLeadExponent        // β
	slotFilmExponent        // α_f
	slotTransferExponent
	slotDiffusionExponent // γ
	slotCount
)

// firstExponent separates a spectrum's sizes and times from the exponents that a history shares.
const firstExponent = slotLeadExponent

// Angular frequencies at which lead and diffusion are stated inside the fit: near the middle of where each
// is seen, so that size and exponent are nearly uncorrelated.
const (
	leadOmega      = 2 * math.Pi * 1e4
	diffusionOmega = 2 * math.Pi * 0.05
)

// bound is the open interval that an exponent may take.
type bound struct{ low, high float64 }

// exponentBounds: beyond them an element would change its nature (a resistor, an ideal capacitor or an inductor) or an arc
// would be too flat to be told from its neighbours; common practice.
var exponentBounds = [slotCount]bound{
	slotLeadExponent:      {0.3, 1.001},
	slotFilmExponent:      {0.4, 1},
	slotTransferExponent:  {0.4, 1},
	slotDiffusionExponent: {0.2, 0.95},
}

// open maps the whole real line onto the interval (logistic); inside maps back.
func (b bound) open(x float64) float64 { return b.low + (b.high-b.low)/(1+math.Exp(-x)) }

func (b bound) slope(value float64) float64 {
	return (value - b.low) * (b.high - value) / (b.high - b.low)
}

func (b bound) inside(value float64) float64 {
	margin := 1e-6 * (b.high - b.low)
	value = min(max(value, b.low+margin), b.high-margin)
	return math.Log((value - b.low) / (b.high - value))
}

// vector is a full parameter vector in the fit's own coordinates.
type vector [slotCount]float64

// parameters leaves the coordinates of the fit.
func (s structure) parameters(x *vector) Parameters {
	p := Parameters{Ohmic: math.Exp(x[slotOhmic])}
	if !s.noArc {
		p.ChargeTransfer, p.ChargeTransferTimeConstant = math.Exp(x[slotTransfer]), math.Exp(x[slotTransferTime])
		p.ChargeTransferExponent = exponentBounds[slotTransferExponent].open(x[slotTransferExponent])
	}
	if s.lead {
		p.LeadExponent = exponentBounds[slotLeadExponent].open(x[slotLeadExponent])
		p.LeadCoefficient = math.Exp(x[slotLead] - p.LeadExponent*math.Log(leadOmega))
	}
	if s.film {
		p.Film, p.FilmTimeConstant = math.Exp(x[slotFilm]), math.Exp(x[slotFilmTime])
		p.FilmExponent = exponentBounds[slotFilmExponent].open(x[slotFilmExponent])
	}
	if s.diffusion {
		p.DiffusionExponent = exponentBounds[slotDiffusionExponent].open(x[slotDiffusionExponent])
		p.Diffusion = math.Exp(x[slotDiffusion] + p.DiffusionExponent*math.Log(diffusionOmega))
	}
	return p
}

// coordinates enters the coordinates of the fit; elements that p lacks get harmless values.
func coordinates(p Parameters) vector {
	var x vector
	x[slotOhmic] = math.Log(p.Ohmic)
	x[slotTransfer], x[slotTransferTime] = math.Log(p.ChargeTransfer), math.Log(p.ChargeTransferTimeConstant)
	x[slotTransferExponent] = exponentBounds[slotTransferExponent].inside(p.ChargeTransferExponent)
	x[slotLeadExponent] = exponentBounds[slotLeadExponent].inside(p.LeadExponent)
	x[slotLead] = math.Log(p.LeadCoefficient) + p.LeadExponent*math.Log(leadOmega)
	x[slotFilm], x[slotFilmTime] = math.Log(p.Film), math.Log(p.FilmTimeConstant)
	x[slotFilmExponent] = exponentBounds[slotFilmExponent].inside(p.FilmExponent)
	x[slotDiffusionExponent] = exponentBounds[slotDiffusionExponent].inside(p.DiffusionExponent)
	x[slotDiffusion] = math.Log(p.Diffusion) - p.DiffusionExponent*math.Log(diffusionOmega)
	return x
}

// point is a frequency with what every evaluation needs of it.
type point struct {
	lnOmega float64
	z       complex128 // measured, ohm
	weight  float64    // 1/|z|; 0 of a point that cannot be
	index   int        // into the spectrum
}

// evaluator holds what is the same for all points of one evaluation of the circuit.
type evaluator struct {
	structure
	lnLead, ohmicOhm, filmOhm, lnFilmTime, transferOhm, lnTransferTime, lnDiffusion float64
	beta, alphaF, alphaC, gamma                                                     float64
	turnLead, turnFilm, turnTransfer, turnDiffusion                                 complex128 // j^exponent
	slopes                                                                          [4]float64 // d exponent / d coordinate
}

func turn(exponent float64) complex128 {
	s, c := math.Sincos(exponent * math.Pi / 2)
	return complex(c, s)
}

func (s structure) evaluator(x *vector) evaluator {
	b := &exponentBounds
	e := evaluator{structure: s, lnLead: x[slotLead], ohmicOhm: math.Exp(x[slotOhmic]), filmOhm: math.Exp(x[slotFilm]),
		lnFilmTime: x[slotFilmTime], transferOhm: math.Exp(x[slotTransfer]), lnTransferTime: x[slotTransferTime], lnDiffusion: x[slotDiffusion],
		beta: b[slotLeadExponent].open(x[slotLeadExponent]), alphaF: b[slotFilmExponent].open(x[slotFilmExponent]),
		alphaC: b[slotTransferExponent].open(x[slotTransferExponent]), gamma: b[slotDiffusionExponent].open(x[slotDiffusionExponent])}
	e.turnLead, e.turnFilm, e.turnTransfer, e.turnDiffusion = turn(e.beta), turn(e.alphaF), turn(e.alphaC), turn(-e.gamma)
	e.slopes = [4]float64{b[slotLeadExponent].slope(e.beta), b[slotFilmExponent].slope(e.alphaF),
		b[slotTransferExponent].slope(e.alphaC), b[slotDiffusionExponent].slope(e.gamma)}
	return e
}

var (
	lnLeadOmega      = math.Log(leadOmega)
	lnDiffusionOmega = math.Log(diffusionOmega)
)

// inverse is 1/z without the care for overflow that the language's division takes: nothing here comes near it.
func inverse(z complex128) complex128 {
	n := 1 / (real(z)*real(z) + imag(z)*imag(z))
	return complex(real(z)*n, -imag(z)*n)
}

func scaled(a float64, z complex128) complex128 { return complex(a*real(z), a*imag(z)) }

// impedance evaluates the circuit at one frequency; where d is not nil it also fills the derivatives with
// respect to the coordinates (unused slots are left alone).
func (e *evaluator) impedance(lnOmega float64, d *[slotCount]complex128) complex128 {
	z := complex(e.ohmicOhm, 0)
	if d != nil {
		d[slotOhmic] = z
	}
	if e.lead {
		z += e.leadImpedance(lnOmega, d)
	}
	if e.film {
		z += e.filmArc(lnOmega, d)
	}
	if e.noArc {
		return z + e.tail(lnOmega, d)
	}
	return z + e.transferArc(lnOmega, d)
}

func (e *evaluator) leadImpedance(lnOmega float64, d *[slotCount]complex128) complex128 {
	l := lnOmega - lnLeadOmega
	z := scaled(math.Exp(e.lnLead+e.beta*l), e.turnLead)
	if d != nil {
		d[slotLead] = z
		d[slotLeadExponent] = scaled(e.slopes[0], z*complex(l, math.Pi/2))
	}
	return z
}

func (e *evaluator) filmArc(lnOmega float64, d *[slotCount]complex128) complex128 {
	l := lnOmega + e.lnFilmTime
	u := scaled(math.Exp(e.alphaF*l), e.turnFilm)
	inv := inverse(1 + u)
	z := scaled(e.filmOhm, inv)
	if d != nil {
		d[slotFilm] = z
		g := -z * inv * u // dZ/d ln u
		d[slotFilmTime] = scaled(e.alphaF, g)
		d[slotFilmExponent] = scaled(e.slopes[1], g*complex(l, math.Pi/2))
	}
	return z
}

// tail is the diffusion by itself.
func (e *evaluator) tail(lnOmega float64, d *[slotCount]complex128) complex128 {
	m := lnOmega - lnDiffusionOmega
	z := scaled(math.Exp(e.lnDiffusion-e.gamma*m), e.turnDiffusion)
	if d != nil {
		d[slotDiffusion] = z
		d[slotDiffusionExponent] = scaled(-e.slopes[3], z*complex(m, math.Pi/2))
	}
	return z
}

func (e *evaluator) transferArc(lnOmega float64, d *[slotCount]complex128) complex128 {
	l := lnOmega + e.lnTransferTime
	u := scaled(math.Exp(e.alphaC*l), e.turnTransfer)
	m := lnOmega - lnDiffusionOmega
	var zd complex128
	if e.diffusion {
		zd = scaled(math.Exp(e.lnDiffusion-e.gamma*m), e.turnDiffusion)
	}
	branch := complex(e.transferOhm, 0) + zd
	over := scaled(1/e.transferOhm, branch) // branch/R_ct
	inv := inverse(1 + u*over)
	z := branch * inv
	if d != nil {
		inv2 := inv * inv
		ubb := u * over * branch * inv2 // u B²/(R D²)
		d[slotTransfer] = scaled(e.transferOhm, inv2) + ubb
		d[slotTransferTime] = scaled(-e.alphaC, ubb)
		d[slotTransferExponent] = scaled(-e.slopes[2], ubb*complex(l, math.Pi/2))
		if e.diffusion {
			d[slotDiffusion] = zd * inv2
			// the size is stated at diffusionOmega, the phase −γπ/2 turns with γ
			d[slotDiffusionExponent] = scaled(-e.slopes[3], zd*inv2*complex(m, math.Pi/2))
		}
	}
	return z
}

// slots lists the coordinates that a structure uses, sizes and times first.
func (s structure) slots() []int {
	arc := !s.noArc
	use := [slotCount]bool{slotOhmic: true, slotTransfer: arc, slotTransferTime: arc, slotTransferExponent: arc,
		slotLead: s.lead, slotLeadExponent: s.lead,
		slotFilm: s.film, slotFilmTime: s.film, slotFilmExponent: s.film,
		slotDiffusion: s.diffusion, slotDiffusionExponent: s.diffusion}
	var list []int
	for slot, used := range use {
		if used {
			list = append(list, slot)
		}
	}
	return list
}
