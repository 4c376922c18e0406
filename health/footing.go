package health

import (
	"math"
	"time"

	"ohmledger/fit"
	"ohmledger/health/job"
)

// footing is a baseline with what comparing against it needs.
type footing struct {
	Baseline
	levels     [resistanceCount]level
	sensing    string // of the spectra that it rests on; empty: unknown, or not one
	instrument string // likewise
	fixture    string // likewise
	arcs       int    // 0: unknown
}

// level is the baseline of one resistance, without its Arrhenius term.
type level struct {
	log                   logarithm
	celsius, uncertaintyC float64
	reason                Statement // why there is none
}

// stated fills the baseline's values at its temperature in ohm, where each can be stated there.
func (g grounds) stated(f *footing, cov covariance) {
	values := [resistanceCount]*fit.Value{
		ohmic: &f.Ohmic, chargeTransfer: &f.ChargeTransfer, polarisation: &f.Polarisation, alternating: &f.ACResistance1kHz,
	}
	for r, level := range f.levels {
		a := g.energies[r]
		if level.reason.says() || a.apart(level.celsius, level.uncertaintyC, f.TemperatureC, f.TemperatureUncertaintyC) {
			continue
		}
		*values[r], _, _ = ohms(a.at(level.log, f.TemperatureC), cov)
	}
}

// ohms leaves the logarithm. It reports false where the number cannot be.
func ohms(l logarithm, cov covariance) (v fit.Value, budget []Contribution, ok bool) {
	u, budget := l.uncertainty(cov)
	ohm := math.Exp(l.value)
	v, ok = finite(ohm, ohm*u)
	return v, scaled(budget, ohm), ok
}

// unfounded is a footing without any baseline.
func unfounded(source job.BaselineSource, why ...Statement) *footing {
	f := &footing{Baseline: Baseline{Source: source, Statements: why}}
	for r := range f.levels {
		f.levels[r].reason = why[0]
	}
	return f
}

// declared is the footing of values that the job declares, at the reference temperature.
func (g grounds) declared(s *specimen) *footing {
	b, at := g.job.Baseline, g.job.Conditions.ReferenceTemperatureC
	f := &footing{Baseline: Baseline{Source: job.Declared, TemperatureC: at, SOCPercent: g.job.Conditions.SOCPercent}}
	values := [resistanceCount]*job.Stated{ohmic: b.Ohmic, chargeTransfer: b.ChargeTransfer}
	f.Statements = []Statement{because("baseline-declared", number("at", at, Celsius))}
	if s.Arcs == 1 {
		values[polarisation] = b.ChargeTransfer
	} else if b.ChargeTransfer != nil && s.Arcs == 2 {
		f.Statements = append(f.Statements, because("baseline-declared-slower-arc"))
	}
	for r, v := range values {
		f.levels[r] = g.declaredLevel(v, resistance(r), at)
	}
	g.stated(f, s.covariance)
	return f
}

func (g grounds) declaredLevel(v *job.Stated, r resistance, at float64) level {
	switch {
	case v == nil:
		return level{reason: because("declared-without", r.fact())}
	case !(v.Value > 0):
		return level{reason: because("declared-impossible", r.fact(), number("declared", v.Value, Ohm))}
	}
	a := g.energies[r]
	l := logarithm{value: math.Log(v.Value) - a.exponent(at)}
	l.effects = []effect{{"declared baseline", "declared/" + traits[r].name, v.StandardUncertainty / v.Value, false}, a.uncertain(at)}
	return level{log: l, celsius: at}
}

// firstCapacity is the first stated capacity of a cell, Ah. No uncertainty of it is stated anywhere.
func (s *specimen) firstCapacity() (ah fit.Value, at time.Time) {
	for i := range s.Measurements {
		if c := s.Measurements[i].Row.CapacityAh; c != nil && *c > 0 {
			ah, _ = finite(*c, 0)
			return ah, s.Measurements[i].Row.MeasuredAt
		}
	}
	return ah, at
}
