package kramerskronig

import (
	"math"
	"slices"
)

const (
	// overfit is c of Schönleber et al. 2014: below it the R_k begin to describe the noise.
	overfit = 0.85
	// beyondBand widens the range of τ at both ends, half a decade each. A cell's diffusion goes on below the
	// band and its leads' losses above it; without it the ends of sound spectra stand out (common practice).
	beyondBand = 3.1622776601683795
	// fewestPerDecade and mostPerDecade bound the time constants to each decade of τ. More than a few a decade
	// no longer describe a smooth spectrum better, but hide a drift (common practice).
	fewestPerDecade, mostPerDecade = 2, 5
	// stride is by how many the time constants are raised. Odd and even numbers place them differently against a sharp
	// one of the cell, so that only every other number compares.
	stride = 2
	// marked is the fraction by which more time constants lower the noise where they describe more than noise.
	marked = 0.05
)

// orders are the least and the largest number of time constants to try. At least half of the values
// measured stay free, whatever the density.
func orders(points int, spread float64) (least, most int) {
	decades := math.Log10(spread)
	most = min(int(mostPerDecade*decades), points-baseColumns)
	return max(2, min(int(math.Ceil(fewestPerDecade*decades)), most)), max(2, most)
}

// choose raises the number of time constants until μ falls below the limit, as Schönleber et al. 2014 do, and leaves
// the model fitted with it. μ alone takes the sharp time constants of a dummy cell for noise: the model describes
// one that falls between two of its own by signs that alternate. So the search goes on for as long as more time
// constants describe markedly more.
func (m *model) choose(least, most int) (timeConstants int, mu float64) {
	first, last := m.capacitive()
	chosen := m.try(least, first, last)
	for chosen.count+stride <= most {
		next := m.try(chosen.count+stride, first, last)
		if chosen.mu < overfit && next.noise > (1-marked)*chosen.noise {
			m.fit(chosen.count)
			break
		}
		chosen = next
	}
	return chosen.count, chosen.mu
}

// trial is what a number of time constants gave.
type trial struct {
	count     int
	mu, noise float64
}

func (m *model) try(timeConstants int, first, last float64) trial {
	resistances := m.fit(timeConstants)
	from, _ := slices.BinarySearch(m.tau[:timeConstants], first)
	to, _ := slices.BinarySearch(m.tau[:timeConstants], last)
	return trial{timeConstants, Mu(resistances[from:max(from, to)]), m.noise()}
}

// Mu is 1 − Σ|R_k<0| / Σ|R_k≥0| (Schönleber et al. 2014; from memory): 1 where all are positive, 0
// where negative ones are as large as positive ones, −Inf where all are negative. It is 1 where there are none at all.
func Mu(resistances []float64) float64 {
	var positive, negative float64
	for _, r := range resistances {
		if r < 0 {
			negative -= r
		} else {
			positive += r
		}
	}
	if negative == 0 {
		return 1
	}
	return 1 - negative/positive
}

// capacitive is the range of τ, in second, over which a negative R_k means that noise is described. Where the
// spectrum is inductive, above the real-axis crossing and in a loop at its low end, a negative R_k is a resistance
// in parallel with an inductance, L/R = τ: that is how this model describes the losses of leads, and
// counting it would end the search long before the spectrum is described. Beyond the band nothing is counted either.
func (m *model) capacitive() (shortest, longest float64) {
	n := len(m.impedance)
	first, last := 0, n-1
	for first < n-1 && !m.capacitiveAt(first, first+1) {
		first++
	}
	for last > first && !m.capacitiveAt(last, last-1) {
		last--
	}
	const rounding = 1e-9
	return (1 - rounding) / m.omega[first], (1 + rounding) / m.omega[last]
}

// capacitiveAt asks two neighbours, so that one wrong point at an end does not decide it.
func (m *model) capacitiveAt(i, neighbour int) bool {
	return imag(m.impedance[i]) < 0 && imag(m.impedance[neighbour]) < 0
}
