package health

import (
	"math"
	"math/cmplx"
	"slices"

	"ohmledger/fit/spectrum"
)

const (
	impossibleShare = 0.02 // of |Z|, that noise makes of a real part of nothing
	doubledApart    = 0.02 // of |Z|: two points of one frequency differ by more than noise (common practice: a steady cell repeats within 1 %)
	mostImpossible  = 0.1  // of the points: more are no stray ones,
	longestRun      = 4    // nor are so many one after the other
	fewPerDecade    = 4.9  // five points a decade draw an arc (common practice)
	wideGap         = 0.5  // decades without a point, where points are dense elsewhere
	otherUnit       = 100  // a factor that no cell changes by, but a wrong unit (1000) does
)

// noted is the first note of a kind that reading made.
func (v *sight) noted(kind spectrum.NoteKind) (n spectrum.Note, ok bool) {
	i := slices.IndexFunc(v.spectrum.Notes, func(n spectrum.Note) bool { return n.Kind == kind })
	if i < 0 {
		return n, false
	}
	return v.spectrum.Notes[i], true
}

func seeDisorder(v *sight) []Fact {
	n, ok := v.noted(spectrum.OutOfOrder)
	if !ok {
		return nothing
	}
	return seen(number("at", n.FrequencyHz, Hertz))
}

// seeMapped names the columns of job.yaml that were used; no name where the file has none of them.
func seeMapped(v *sight) []Fact {
	n, ok := v.noted(spectrum.Mapped)
	switch {
	case !ok:
		return nothing
	case n.Columns == spectrum.Columns{}:
		return seen(word("columns", ""))
	}
	return seen(word("columns", n.Columns.String()))
}

// doubled counts the frequencies that stand more than once, and finds where their points differ most, as a fraction of |Z|.
func doubled(s *spectrum.Spectrum) (frequencies int, apart, atHz float64) {
	for i := 1; i < len(s.Frequency); i++ {
		if s.Frequency[i] != s.Frequency[i-1] {
			continue
		}
		frequencies++
		if d := cmplx.Abs(s.Impedance[i]-s.Impedance[i-1]) / cmplx.Abs(s.Impedance[i]); d > apart {
			apart, atHz = d, s.Frequency[i]
		}
	}
	return frequencies, apart, atHz
}

func seeDoubled(v *sight) []Fact {
	n, apart, _ := doubled(v.spectrum)
	if n == 0 || apart > doubledApart || v.copied() >= copiedRows {
		return nothing
	}
	return seen(count("frequencies", n), number("apart", apart, Fraction))
}

func seeDoubledApart(v *sight) []Fact {
	n, apart, at := doubled(v.spectrum)
	if apart <= doubledApart || v.twice(n) {
		return nothing
	}
	return seen(count("frequencies", n), number("apart", apart, Fraction), number("at", at, Hertz))
}

// impossible lists the points whose impedance no cell at rest can have: without modulus, or with a negative real part that is
// more than the noise of a point that is nearly all reactance.
func impossible(s *spectrum.Spectrum) (points []int) {
	for i, z := range s.Impedance {
		if real(z) < -impossibleShare*cmplx.Abs(z) || z == 0 {
			points = append(points, i)
		}
	}
	return points
}

func seeImpossiblePoints(v *sight) []Fact {
	points := impossible(v.spectrum)
	if len(points) == 0 || v.manyImpossible(points) {
		return nothing
	}
	return v.impossibleFacts(points)
}

func seeImpossibleSpectrum(v *sight) []Fact {
	points := impossible(v.spectrum)
	if !v.manyImpossible(points) {
		return nothing
	}
	return v.impossibleFacts(points)
}

// manyImpossible reports whether impossible points are no stray ones: many, or one after the other.
func (v *sight) manyImpossible(points []int) bool {
	run := 0
	for k, i := range points {
		if k == 0 || points[k-1] != i-1 {
			run = 0
		}
		if run++; run >= longestRun {
			return true
		}
	}
	return len(points) > 1 && float64(len(points)) > mostImpossible*float64(len(v.spectrum.Impedance))
}

func (v *sight) impossibleFacts(points []int) []Fact {
	s := v.spectrum
	lowest := slices.MinFunc(points, func(a, b int) int {
		return int(math.Copysign(1, real(s.Impedance[a])-real(s.Impedance[b])))
	})
	corrected := ""
	if v.fixture != nil {
		corrected = "corrected"
	}
	return seen(count("points", len(points)), count("of", len(s.Impedance)), number("lowest", real(s.Impedance[lowest]), Ohm),
		number("at", s.Frequency[lowest], Hertz), word("fixture", corrected))
}

// spacing is the number of points a decade, and the widest gap between neighbours, in decades, with its ends.
func spacing(s *spectrum.Spectrum) (perDecade, gap, fromHz, toHz float64) {
	n := len(s.Frequency)
	if n < 2 || s.Frequency[0] <= s.Frequency[n-1] {
		return math.Inf(1), 0, 0, 0
	}
	steps := 0
	for i := 1; i < n; i++ {
		d := math.Log10(s.Frequency[i-1] / s.Frequency[i])
		if d > 0 {
			steps++
		}
		if d > gap {
			gap, fromHz, toHz = d, s.Frequency[i-1], s.Frequency[i]
		}
	}
	return float64(steps) / math.Log10(s.Frequency[0]/s.Frequency[n-1]), gap, fromHz, toHz
}

func seeSparse(v *sight) []Fact {
	perDecade, _, _, _ := spacing(v.spectrum)
	if perDecade >= fewPerDecade {
		return nothing
	}
	return seen(number("per_decade", perDecade, One), count("points", len(v.spectrum.Frequency)))
}

func seeMissing(v *sight) []Fact {
	perDecade, gap, from, to := spacing(v.spectrum)
	if gap <= wideGap || perDecade < fewPerDecade {
		return nothing
	}
	return seen(number("gap", gap, One), number("from", from, Hertz), number("to", to, Hertz))
}

// smallest is the smallest |Z| of a spectrum in ohm, about the ohmic resistance; 0 for an empty one.
func smallest(s *spectrum.Spectrum) float64 {
	if len(s.Impedance) == 0 {
		return 0
	}
	least := math.Inf(1)
	for _, z := range s.Impedance {
		least = min(least, cmplx.Abs(z))
	}
	return least
}

// middling is the median |Z| of a spectrum in ohm; 0 for an empty one.
func middling(s *spectrum.Spectrum) float64 {
	moduli := make([]float64, len(s.Impedance))
	for i, z := range s.Impedance {
		moduli[i] = cmplx.Abs(z)
	}
	return typical(moduli)
}

// typical is the median of numbers in any order, the upper middle one of an even count; 0 where there are none.
func typical(x []float64) float64 {
	if len(x) == 0 {
		return 0
	}
	sorted := slices.Sorted(slices.Values(x))
	return sorted[len(sorted)/2]
}

// seeUnlikeOthers finds a spectrum whose scale no other of the cell has.
func seeUnlikeOthers(v *sight) []Fact {
	own, others := smallest(v.spectrum), v.past.others(smallest)
	if own == 0 || others == 0 || own < otherUnit*others && others < otherUnit*own {
		return nothing
	}
	return seen(number("own", own, Ohm), number("others", others, Ohm), number("factor", max(own/others, others/own), One))
}
