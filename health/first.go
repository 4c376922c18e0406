package health

import (
	"math"

	"ohmledger/health/job"
)

// first is the footing of a cell on its own earliest accepted day under the job's conditions.
func (g grounds) first(s *specimen) *footing {
	members, note := g.firstDay(s)
	if len(members) == 0 {
		return unfounded(job.First, note...)
	}
	f := &footing{Baseline: Baseline{Source: job.First, Measurements: members, Statements: note}, arcs: s.Arcs}
	f.MeasuredAt = s.Measurements[members[0]].Row.MeasuredAt
	f.TemperatureC, f.TemperatureUncertaintyC = s.meanTemperature(members)
	f.SOCPercent = s.meanSOC(members)
	f.sensing = s.common(members, (*Measurement).sensing)
	f.fixture = s.common(members, func(m *Measurement) string { return m.Row.Fixture })
	f.instrument = s.common(members, func(m *Measurement) string { return g.instrument(m.Row) })
	for r := range resistanceCount {
		f.levels[r] = g.firstLevel(s, members, r)
	}
	g.stated(f, s.covariance)
	return f
}

// firstDay finds the measurements that make the baseline, and says in words which they are and what was passed over.
func (g grounds) firstDay(s *specimen) (members []int, note []Statement) {
	passed, why, apart := 0, Statement{}, 0
	for _, i := range s.accepted() {
		m := &s.Measurements[i]
		if unfit := m.unfit(); unfit.says() {
			if len(members) == 0 {
				passed++
				why = unfit
			}
			continue
		}
		if len(members) == 0 {
			members = []int{i}
			continue
		}
		start := s.Measurements[members[0]].Row
		if day(m.Row.MeasuredAt) != day(start.MeasuredAt) {
			break
		}
		if socApart(m.Row.SOCPercent, start.SOCPercent, g.job.Conditions.SOCTolerancePercent) {
			apart++
			continue
		}
		members = append(members, i)
	}
	return members, s.firstNote(members, passed, why, apart)
}

// unfit says why a measurement can be the baseline of no resistance; nothing where it can.
func (m *Measurement) unfit() Statement {
	if !m.touching(job.OhmicGrowth).says() {
		return Statement{}
	}
	return m.touching(job.ChargeTransferGrowth)
}

func (s *specimen) firstNote(members []int, passed int, why Statement, apart int) (note []Statement) {
	if len(members) == 0 {
		if passed > 0 {
			return []Statement{because("baseline-none-fit", within("why", why))}
		}
		return []Statement{because("baseline-none-accepted")}
	}
	note = []Statement{because("baseline-first", count("spectra", len(members)), moment("on", s.Measurements[members[0]].Row.MeasuredAt))}
	if passed > 0 {
		note = append(note, because("baseline-passed-over", count("spectra", passed), within("why", why)))
	}
	if apart > 0 {
		note = append(note, because("baseline-charge-apart", count("spectra", apart)))
	}
	return note
}

// firstLevel is the weighted mean of one resistance over the spectra of the first day that carry it.
func (g grounds) firstLevel(s *specimen, members []int, r resistance) level {
	var readings []logarithm
	var used []int
	var why Statement
	for _, i := range members {
		reading, reason := g.untouchedReading(s, i, r)
		if !reason.says() && len(used) > 0 && g.apart(s, used[0], i, r) {
			reason = because("baseline-temperatures-differ")
		}
		if reason.says() {
			why = reason
			continue
		}
		readings, used = append(readings, reading), append(used, i)
	}
	if len(used) == 0 {
		return level{reason: because("baseline-none-of", r.fact(), within("why", why))}
	}
	celsius, u := s.meanTemperature(used)
	return level{weightedMean(readings, s.covariance, traits[r].name+"/"+s.Name), celsius, u, Statement{}}
}

func (g grounds) untouchedReading(s *specimen, i int, r resistance) (logarithm, Statement) {
	if why := s.Measurements[i].touching(traits[r].touched); why.says() {
		return logarithm{}, why
	}
	return g.reading(s, i, r, asBaseline)
}

// apart reports whether two measurements of a cell differ too much in temperature to be put together uncorrected.
func (g grounds) apart(s *specimen, i, j int, r resistance) bool {
	a, b := s.Measurements[i].Row, s.Measurements[j].Row
	return g.energies[r].apart(a.TemperatureC, a.TemperatureUncertaintyC, b.TemperatureC, b.TemperatureUncertaintyC)
}

// weightedMean weighs readings by the inverse of the variance that each has of its own. Where they scatter by more than
// that, the rest of the scatter is an effect of its own (Birge, Phys. Rev. 40 (1932) 207).
func weightedMean(readings []logarithm, cov covariance, of string) (mean logarithm) {
	weights := weights(readings, cov)
	for i, w := range weights {
		mean = mean.plus(w, readings[i])
	}
	n := len(readings)
	if n == 1 {
		return mean
	}
	spread, own := 0.0, 0.0
	for i, w := range weights {
		d := readings[i].value - mean.value
		spread += w * d * d / float64(n-1)
		own += w * w * readings[i].ownVariance(cov)
	}
	rest := math.Sqrt(max(0, spread-own))
	return mean.with(effect{"scatter of the baseline spectra", "scatter/" + of, rest, false})
}

// weights sum to one; equal where a reading has no uncertainty at all.
func weights(readings []logarithm, cov covariance) []float64 {
	w := make([]float64, len(readings))
	sum := 0.0
	for i, r := range readings {
		w[i] = 1 / r.ownVariance(cov)
		sum += w[i]
	}
	for i := range w {
		if math.IsInf(sum, 0) {
			w[i] = 1 / float64(len(w))
		} else {
			w[i] /= sum
		}
	}
	return w
}
