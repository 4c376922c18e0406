package health

import (
	"ohmledger/fit"
	"ohmledger/health/job"
)

// correct settles the temperature correction in force. It reads a temperature series from the cells where the job says so.
func (g grounds) correct(cells []*specimen) (grounds, Temperature) {
	j := g.job
	t := Temperature{Source: j.TemperatureCorrection.Source}
	switch t.Source {
	case job.CorrectionDeclared:
		t.Ohmic, t.ChargeTransfer = energyOf(j.TemperatureCorrection.Ohmic), energyOf(j.TemperatureCorrection.ChargeTransfer)
		t.Note = g.say.reason(because("energies-declared"))
	case job.CorrectionMeasured:
		t.measure(g, cells)
	default:
		t.Note = g.say.reason(because("energies-none"))
	}
	return g.corrected(t), t
}

func energyOf(s *job.Stated) fit.Value {
	if s == nil {
		return fit.Value{}
	}
	v, _ := finite(s.Value, s.StandardUncertainty)
	return v
}

// corrected gives each resistance the activation energy that it is corrected with.
func (g grounds) corrected(t Temperature) grounds {
	for r := range resistanceCount {
		of := traits[r].corrected
		v := t.Ohmic
		if of == chargeTransfer {
			v = t.ChargeTransfer
		}
		if v.Known() {
			g.energies[r] = declaredActivation(v, of)
		} else {
			g.energies[r] = boundedActivation(of)
		}
	}
	return g
}

// measure reads the activation energies from the temperature series of the cells. One spectrum is no series and is not listed.
func (t *Temperature) measure(g grounds, cells []*specimen) {
	var used [2][]fit.Value
	for _, s := range cells {
		for k, r := range []resistance{ohmic, chargeTransfer} {
			a := g.series(s, r)
			if a.Reason == "" {
				used[k] = append(used[k], a.ActivationEnergy)
			}
			if len(a.Points) > 1 {
				t.Series = append(t.Series, a)
			}
		}
	}
	t.Ohmic, t.ChargeTransfer = pooledOrNone(used[0]), pooledOrNone(used[1])
	t.Note = g.say.reason(because("energies-measured",
		count("ohmic", len(used[0])), count("charge_transfer", len(used[1])), count("cells", len(cells))))
}

func pooledOrNone(values []fit.Value) fit.Value {
	if len(values) == 0 {
		return fit.Value{}
	}
	return pooled(values)
}
