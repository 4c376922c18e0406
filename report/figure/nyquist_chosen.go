package figure

import (
	"math"
	"slices"

	"ohmledger/health"
)

// marked are the measurements of the baseline, the first where it rests on several, and of the verdict, as far as they are drawn.
func marked(cell *health.Cell, accepted []drawnSpectrum) (list []int) {
	for _, wanted := range [][]int{cell.Baseline.Measurements, {cell.Latest}} {
		for _, index := range wanted {
			if slices.ContainsFunc(accepted, func(s drawnSpectrum) bool { return s.index == index }) {
				if !slices.Contains(list, index) {
					list = append(list, index)
				}
				break
			}
		}
	}
	return list
}

// coloured chooses spectra for colour from the others: all where they are few; else those marked, and evenly chosen ones of
// those with a growth, since the others, at another state of charge, differ by more than age.
func coloured(cell *health.Cell, accepted []drawnSpectrum, marked []int) (chosen, others []drawnSpectrum) {
	if len(accepted) <= mostAges {
		return accepted, nil
	}
	grown := func(s drawnSpectrum) bool {
		m := &cell.Measurements[s.index]
		return slices.Contains(marked, s.index) || m.OhmicGrowth.Ratio.Known() || m.ChargeTransferGrowth.Ratio.Known()
	}
	comparable := slices.DeleteFunc(slices.Clone(accepted), func(s drawnSpectrum) bool { return !grown(s) })
	if len(comparable) == len(marked) { // there is no growth
		comparable = accepted
	}
	even, _ := apart(comparable, mostAges)
	list := indices(even)
	for _, index := range marked {
		giveWay(list, index, marked)
	}
	for _, s := range accepted {
		if slices.Contains(list, s.index) {
			chosen = append(chosen, s)
		} else {
			others = append(others, s)
		}
	}
	return chosen, others
}

func indices(spectra []drawnSpectrum) (list []int) {
	for _, s := range spectra {
		list = append(list, s.index)
	}
	return list
}

// giveWay puts an index into a list in place of the nearest one that is not marked.
func giveWay(list []int, index int, marked []int) {
	nearest := -1
	for i, other := range list {
		switch {
		case other == index:
			return
		case slices.Contains(marked, other):
		case nearest < 0 || abs(other-index) < abs(list[nearest]-index):
			nearest = i
		}
	}
	if nearest >= 0 {
		list[nearest] = index
	}
}

func abs(i int) int { return max(i, -i) }

// ringed are the places, among the spectra in colour, of the two on which frequencies stand: those marked, else the oldest and the latest.
func (n *nyquist) ringed() (first, last int) {
	if len(n.marked) < 2 {
		return 0, len(n.ages) - 1
	}
	list := indices(n.ages)
	return slices.Index(list, n.marked[0]), slices.Index(list, n.marked[1])
}

// apart chooses at most so many of a list, the first, the last and evenly between, from the others.
func apart(list []drawnSpectrum, most int) (chosen, others []drawnSpectrum) {
	next := 0
	for i, s := range list {
		if count := min(most, len(list)); next < count && i == evenly(next, count, len(list)) {
			chosen = append(chosen, s)
			next++
			continue
		}
		others = append(others, s)
	}
	return chosen, others
}

// evenly is the place of the i-th of count things spread over a list of a length.
func evenly(i, count, length int) int {
	if count < 2 {
		return length - 1
	}
	return int(math.Round(float64(i) * float64(length-1) / float64(count-1)))
}
