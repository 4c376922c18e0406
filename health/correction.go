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
		v, misfit := t.Ohmic, t.OhmicMisfit
		if of == chargeTransfer {
			v, misfit = t.ChargeTransfer, t.ChargeTransferMisfit
		}
		if v.Known() {
			g.energies[r] = declaredActivation(v, of)
			g.energies[r].misfit = misfit
		} else {
			g.energies[r] = boundedActivation(of)
		}
	}
	return g
}

// measure reads the activation energies from the temperature series of the cells. One spectrum is no series and is not listed.
func (t *Temperature) measure(g grounds, cells []*specimen) {
	var used [2][]ArrheniusSeries
	for _, s := range cells {
		for k, r := range []resistance{ohmic, chargeTransfer} {
			a := g.series(s, r)
			if a.Reason == "" {
				used[k] = append(used[k], a)
			}
			if len(a.Points) > 1 {
				t.Series = append(t.Series, a)
			}
		}
	}
	t.Ohmic, t.ChargeTransfer = pooledOrNone(used[0]), pooledOrNone(used[1])
	t.OhmicMisfit, t.ChargeTransferMisfit = misfitOf(used[0]), misfitOf(used[1])
	t.Note = g.say.reason(because("energies-measured",
		count("ohmic", len(used[0])), count("charge_transfer", len(used[1])), count("cells", len(cells))))
}

func pooledOrNone(used []ArrheniusSeries) fit.Value {
	if len(used) == 0 {
		return fit.Value{}
	}
	values := make([]fit.Value, len(used))
	for i, a := range used {
		values[i] = a.ActivationEnergy
	}
	return pooled(values)
}
