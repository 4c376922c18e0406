package health

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// SeriesMisfit is by how much ln R of the temperature series is off the straight lines through 1/T, beyond what the points are
// uncertain by. Cells of one make bend alike, so it is not divided by how many they are.
type SeriesMisfit struct {
	LogRMS      float64 // of ln R, 1; 0: the lines describe the series
	SpanC       float64 // °C from the coldest to the warmest, of the narrowest series
	Significant bool    // chance alone would hardly make the residuals so large
}

// hardly is the probability with which chance alone may call a series misfitted.
const hardly = 0.01

// misfitOf puts the residuals of all series of one resistance together.
func misfitOf(used []ArrheniusSeries) (m SeriesMisfit) {
	free, squares, stated, chi := 0.0, 0.0, 0.0, 0.0
	for _, a := range used {
		spare := float64(len(a.Points) - 2)
		free += spare
		coldest, warmest := math.Inf(1), math.Inf(-1)
		for _, p := range a.Points {
			squares += square(p.LogResidual)
			stated += spare / float64(len(a.Points)) * square(p.LogU)
			if p.LogU > 0 {
				chi += square(p.LogResidual / p.LogU)
			}
			coldest, warmest = min(coldest, p.TemperatureC), max(warmest, p.TemperatureC)
		}
		if span := warmest - coldest; m.SpanC == 0 || span < m.SpanC {
			m.SpanC = span
		}
	}
	if !(free > 0) {
		return SeriesMisfit{}
	}
	m.LogRMS = math.Sqrt(max(0, squares-stated) / free)
	m.Significant = m.LogRMS > 0 && distuv.ChiSquared{K: free}.Survival(chi) < hardly
	return m
}

// offLine is a budget's line for it.
const offLine = "temperature series that is not quite Arrhenius"

// curved is what the misfit gives the logarithm of a resistance that is carried from one temperature to another: nothing where they
// agree; √2 of the residuals' size from half the span on, since a bend is off either way at the ends and in the middle; beyond
// the span in proportion.
func (a activation) curved(from, to float64) effect {
	size := 0.0
	if a.misfit.LogRMS > 0 {
		share := math.Abs(to-from) / a.misfit.SpanC
		size = math.Sqrt2 * a.misfit.LogRMS * max(min(2*share, 1), share)
	}
	return effect{offLine, "arrhenius/" + a.input, size, true}
}
