package health

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"ohmledger/fit"
)

// What a temperature series must have before an activation energy is read from it.
const (
	seriesTemperatures = 3  // distinct ones
	seriesStep         = 1  // °C by which temperatures are distinct
	seriesSpan         = 10 // °C from the coldest to the warmest
)

// series is the regression of ln R on 1/T over a cell's accepted measurements at one state of charge.
func (g grounds) series(s *specimen, r resistance) ArrheniusSeries {
	a := ArrheniusSeries{Cell: s.Name, Element: traits[r].element, Points: g.points(s, r)}
	if lack := tooFew(a.Points); lack.says() {
		a.Reason = g.say.reason(lack)
		return a
	}
	uncertain := make([]float64, len(a.Points)) // °C
	for i, p := range a.Points {
		uncertain[i] = s.Measurements[p.MeasurementOfCell].Row.TemperatureUncertaintyC
	}
	var ok bool
	energy, u := a.regress(uncertain)
	if a.ActivationEnergy, ok = finite(energy/1e3, u/1e3); !ok {
		a.Reason = g.say.reason(because("series-not-finite"))
	}
	return a
}

// points are the resistances at their temperatures that can be put on one line: accepted, not touched by a finding, and of the
// state of charge that most of them share. That a temperature lies outside the range of the job is no hindrance here: a series is meant to be wide.
func (g grounds) points(s *specimen, r resistance) (points []ArrheniusPoint) {
	usable := slices.DeleteFunc(s.accepted(), func(i int) bool {
		m := &s.Measurements[i]
		_, why := m.resistance(r)
		return why.says() || m.touchingBut(codeTemperature, traits[r].touched).says()
	})
	for _, i := range g.oneSOC(s, usable) {
		m := &s.Measurements[i]
		v, _ := m.resistance(r)
		points = append(points, ArrheniusPoint{
			TemperatureC: m.Row.TemperatureC, ResistanceOhm: v.Estimate(),
			LogU: math.Sqrt(max(0, s.covariance(i, i, traits[r].element))), MeasurementOfCell: i,
		})
	}
	return points
}

// oneSOC keeps the measurements whose state of charge agrees with that of the one that most agree with.
func (g grounds) oneSOC(s *specimen, indices []int) (most []int) {
	for _, anchor := range indices {
		agreeing := slices.DeleteFunc(slices.Clone(indices), func(i int) bool {
			return socApart(s.Measurements[i].Row.SOCPercent, s.Measurements[anchor].Row.SOCPercent, g.job.Conditions.SOCTolerancePercent)
		})
		if len(agreeing) > len(most) {
			most = agreeing
		}
	}
	return most
}

// tooFew says what a series lacks.
func tooFew(points []ArrheniusPoint) Statement {
	celsius := make([]float64, len(points))
	for i, p := range points {
		celsius[i] = p.TemperatureC
	}
	slices.Sort(celsius)
	distinct, last := 0, math.Inf(-1)
	for _, c := range celsius {
		if c-last >= seriesStep {
			distinct++
			last = c
		}
	}
	if distinct < seriesTemperatures {
		return because("series-few-temperatures", number("apart", seriesStep, Celsius), count("usable", distinct), count("needed", seriesTemperatures))
	}
	if span := celsius[len(celsius)-1] - celsius[0]; span < seriesSpan {
		return because("series-narrow", number("span", span, Celsius), number("needed", seriesSpan, Celsius))
	}
	return Statement{}
}

// regress finds the activation energy in J/mol and its standard uncertainty, and fills the points' uncertainties and
// residuals. Temperature errors count through the slope (effective variance: Orear, Am. J. Phys. 50 (1982) 912).
func (a *ArrheniusSeries) regress(uncertainC []float64) (energy, uncertainty float64) {
	n := len(a.Points)
	x, y, u := make([]float64, n), make([]float64, n), make([]float64, n)
	for i, p := range a.Points {
		x[i], y[i], u[i] = 1/kelvin(p.TemperatureC), math.Log(p.ResistanceOhm), p.LogU
	}
	l := throughPoints(x, y, u)
	for range 4 { // the weights hardly depend on the slope, so this settles at once
		for i, p := range a.Points {
			u[i] = math.Hypot(p.LogU, l.slope*x[i]*x[i]*uncertainC[i])
		}
		l = throughPoints(x, y, u)
	}
	for i := range a.Points {
		a.Points[i].LogU, a.Points[i].LogResidual = u[i], y[i]-l.intercept-l.slope*x[i]
		a.RMSResidual = math.Hypot(a.RMSResidual, a.Points[i].LogResidual/math.Sqrt(float64(n)))
	}
	return l.slope * molarGas, l.uncertainty * molarGas
}

// straight is a line y = intercept + slope·x with the standard uncertainty of its slope.
type straight struct{ intercept, slope, uncertainty float64 }

// throughPoints is the weighted least-squares line. The slope's uncertainty is what the weights say, and beside it what the
// points scatter by beyond their uncertainties, widened for its degrees of freedom; with two points there is no scatter. Where a
// point has no uncertainty all weigh alike.
func throughPoints(x, y, u []float64) straight {
	var w []float64
	if !slices.Contains(u, 0) {
		w = make([]float64, len(u))
		for i := range u {
			w[i] = 1 / (u[i] * u[i])
		}
	}
	intercept, slope := stat.LinearRegression(x, y, w, false)
	mean, sxx, chi := stat.Mean(x, w), 0.0, 0.0
	for i := range x {
		weight, r := 1.0, y[i]-intercept-slope*x[i]
		if w != nil {
			weight = w[i]
		}
		sxx += weight * (x[i] - mean) * (x[i] - mean)
		chi += weight * r * r
	}
	variance := 0.0
	if w != nil {
		variance = 1 / sxx
	}
	if free := len(x) - 2; free > 0 {
		variance += square(widening(free)) * max(0, chi/float64(free)/sxx-variance)
	}
	return straight{intercept, slope, math.Sqrt(variance)}
}

// pooled is the mean of several cells' values with what one cell may differ from it: the random-effects mean
// and between-cell variance of DerSimonian and Laird, Controlled Clinical Trials 7 (1986) 177. The uncertainty is that of a
// cell's own value, √(u(mean)² + τ²), since it is single cells that are corrected with it; τ is widened for how few they are.
func pooled(values []fit.Value) fit.Value {
	if len(values) == 1 {
		return values[0]
	}
	mean, sum, squares := weighted(values, 0)
	q := 0.0
	for _, v := range values {
		d := v.Estimate() - mean
		q += d * d * inverseVariance(v, 0)
	}
	between := max(0, (q-float64(len(values)-1))/(sum-squares/sum))
	mean, _, _ = weighted(values, between)
	between *= square(widening(len(values) - 1))
	_, sum, _ = weighted(values, between)
	return fit.NewValue(mean, math.Sqrt(1/sum+between))
}

// weighted returns the mean with weights 1/(u² + between), their sum and the sum of their squares.
func weighted(values []fit.Value, between float64) (mean, sum, squares float64) {
	for _, v := range values {
		w := inverseVariance(v, between)
		mean, sum, squares = mean+w*v.Estimate(), sum+w, squares+w*w
	}
	return mean / sum, sum, squares
}

// inverseVariance is that of a value from a population with a variance of its own. A value without uncertainty is taken to be
// known to a part in 10⁹.
func inverseVariance(v fit.Value, between float64) float64 {
	u := max(v.StandardUncertainty(), 1e-9*math.Abs(v.Estimate()), math.SmallestNonzeroFloat32)
	return 1 / (u*u + between)
}
