package health

import (
	"cmp"
	"math"
	"math/cmplx"
	"slices"
)

// stray is a point that is not where the others, it left out, predict it. The residual of a model that counts it in is smaller: it draws
// the model to itself.
type stray struct {
	hz       float64
	error, u float64 // of |Z|; u is a standard uncertainty
}

// strays are the points that do not go with the others by more than a share of |Z| that matters, the worst first. What lies in
// the drift's decade belongs to the drift.
func (v *sight) strays() (list []stray) {
	if v.kk == nil || v.signReversed() || v.leaps() {
		return nil
	}
	f := v.spectrum.Frequency
	last, drifted := len(f)-1, v.drifted()
	for _, o := range v.kk.Outliers {
		size, u := cmplx.Abs(o.Error), o.StandardUncertainty
		inside := o.Index > 0 && o.Index < last-1
		if inside && size > max(strayPoint, sure*u) && !(drifted && f[o.Index] < 10*f[last]) {
			list = append(list, stray{f[o.Index], size, u})
		}
	}
	return append(list, v.strayEnds()...)
}

// strayEnds holds the ends of the band against the parabola through their three neighbours: the test itself hardly can tell a
// wrong end from a cell that goes on. It says nothing where points are sparse.
func (v *sight) strayEnds() (list []stray) {
	z, f := v.spectrum.Impedance, v.spectrum.Frequency
	n := len(z)
	if perDecade, _, _, _ := spacing(v.spectrum); perDecade < denseEnds || n < 8 {
		return nil
	}
	u := math.Sqrt(3*3+3*3+1+1) * v.noise() // of Z₀ − 3Z₁ + 3Z₂ − Z₃
	for _, end := range [...][4]int{{0, 1, 2, 3}, {n - 1, n - 2, n - 3, n - 4}} {
		x, y := make([]float64, 3), make([]complex128, 3)
		for k, i := range end[1:] {
			x[k], y[k] = math.Log(f[i]), z[i]
		}
		if x[0] == x[1] || x[1] == x[2] || f[end[0]] == f[end[1]] {
			continue
		}
		if off := cmplx.Abs(z[end[0]]-lagrange(x, y, math.Log(f[end[0]]))) / cmplx.Abs(z[end[0]]); off > max(strayEnd, sure*u) {
			list = append(list, stray{f[end[0]], off, u})
		}
	}
	return list
}

// The mains of the world, and how far from a harmonic a point may lie that an analyser averaging a few periods spoils, as a
// fraction: any point that near, and the one that lies nearest where points are sparse.
var mains = [...]float64{50, 60}

const (
	pickedUpWithin = 0.06
	nearestPicksUp = 0.20
	harmonics      = 5
	seldomHarmonic = 4 // of what rectifiers and transformers make
	fewestDecided  = 3 // spoiled points from which mains can be told
	mainsWithin    = 0.01
)

// harmonic says of which mains a frequency is a low harmonic, 0 where of neither; the nearer counts.
func (v *sight) harmonic(hz float64) (fundamental float64) {
	nearest := nearestPicksUp
	for _, m := range mains {
		for k := 1.0; k <= harmonics; k++ {
			d := math.Abs(hz/(k*m) - 1)
			if k != seldomHarmonic && d < nearest && (d < pickedUpWithin || v.nearest(k*m) == hz) {
				nearest, fundamental = d, m
			}
		}
	}
	return fundamental
}

// nearest is the measured frequency that lies nearest to one.
func (v *sight) nearest(hz float64) float64 {
	return slices.MinFunc(v.spectrum.Frequency, func(a, b float64) int {
		return cmp.Compare(math.Abs(math.Log(a/hz)), math.Abs(math.Log(b/hz)))
	})
}

// sorted parts the stray points: those that mains explain, those of a decade that is noisy altogether, and the rest.
func (v *sight) sorted() (picked, noise, rest []stray) {
	strays := v.strays()
	fundamental := 0.0
	if len(strays) > 0 {
		fundamental = v.harmonic(strays[0].hz)
	}
	for _, o := range strays {
		switch {
		case len(strays) == 1 && exactly(o.hz) == 0: // one point alone has no pattern
			rest = append(rest, o)
		// An analyser's filter lets the neighbours of a strong tone through as well.
		case fundamental > 0 && o.hz > fundamental/2 && o.hz < (harmonics+1)*fundamental:
			picked = append(picked, o)
		case v.noisyAt(o.hz, strays):
			noise = append(noise, o)
		default:
			rest = append(rest, o)
		}
	}
	return picked, noise, rest
}

// mainsOf says which mains spoiled points, 0 where that is open: those whose harmonics lie near the points that lie near none of the other,
// if these are off by far more.
func mainsOf(picked []stray) float64 {
	var weight [len(mains)]float64
	for _, o := range picked {
		for i, m := range mains {
			if nearHarmonic(o.hz, m) && !nearHarmonic(o.hz, mains[1-i]) {
				weight[i] += o.error
			}
		}
	}
	if len(picked) == 1 {
		return exactly(picked[0].hz)
	}
	const far = 3
	for i, m := range mains {
		if len(picked) >= fewestDecided && weight[i] > far*weight[1-i] {
			return m
		}
	}
	return 0
}

// exactly is the mains whose frequency itself was measured, 0 where neither was.
func exactly(hz float64) float64 {
	for _, m := range mains {
		if math.Abs(hz/m-1) < mainsWithin {
			return m
		}
	}
	return 0
}

// nearHarmonic reports whether a frequency is one that a harmonic of mains spoils.
func nearHarmonic(hz, fundamental float64) bool {
	k := math.Max(1, math.Round(hz/fundamental))
	return k <= harmonics && k != seldomHarmonic && math.Abs(hz/(k*fundamental)-1) < pickedUpWithin
}

// noisyAt reports whether the decade about a frequency holds so many stray points that it is noise.
func (v *sight) noisyAt(hz float64, strays []stray) bool {
	n := 0
	for _, o := range strays {
		if r := o.hz / hz; r > 0.3 && r < 3.3 {
			n++
		}
	}
	return n >= noisyStrays
}

func seeMains(v *sight) []Fact {
	picked, _, _ := v.sorted()
	if len(picked) == 0 {
		return nothing
	}
	worst := picked[0]
	return seen(number("mains", mainsOf(picked), Hertz), number("at", worst.hz, Hertz), uncertain("error", worst.error, worst.u, Fraction), count("points", len(picked)))
}

// seePointsOff leaves a violation to the finding that is about it.
func seePointsOff(v *sight) []Fact {
	_, _, rest := v.sorted()
	if len(rest) == 0 || v.violated() {
		return nothing
	}
	near := ""
	if v.harmonic(rest[0].hz) > 0 {
		near = "mains"
	}
	return seen(number("at", rest[0].hz, Hertz), uncertain("error", rest[0].error, rest[0].u, Fraction), count("points", len(rest)), word("near", near))
}
