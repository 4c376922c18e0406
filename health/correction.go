package health

import (
	"fmt"

	"ohmledger/fit"
	"ohmledger/health/job"
)

// correct settles the temperature correction in force. It reads a temperature series from the cells where the job says so.
func correct(j *job.Job, cells []*specimen) (grounds, Temperature) {
	t := Temperature{Source: j.TemperatureCorrection.Source}
	switch t.Source {
	case job.CorrectionDeclared:
		t.Ohmic, t.ChargeTransfer = energyOf(j.TemperatureCorrection.Ohmic), energyOf(j.TemperatureCorrection.ChargeTransfer)
		t.Note = "Activation energies are declared in the job."
	case job.CorrectionMeasured:
		t.measure(grounds{job: j}, cells)
	default:
		t.Note = "Temperatures are not corrected: only measurements at equal temperatures are compared."
	}
	return groundsOf(j, t), t
}

func energyOf(s *job.Stated) fit.Value {
	if s == nil {
		return fit.Value{}
	}
	v, _ := finite(s.Value, s.StandardUncertainty)
	return v
}

// groundsOf gives each resistance the activation energy that it is corrected with.
func groundsOf(j *job.Job, t Temperature) grounds {
	g := grounds{job: j}
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
	t.Note = fmt.Sprintf("Activation energies are measured: slopes of ln R on 1/T of %d (ohmic) and %d (charge transfer) of %d cells, "+
		"their mean and between-cell spread by DerSimonian and Laird.", len(used[0]), len(used[1]), len(cells))
}

func pooledOrNone(values []fit.Value) fit.Value {
	if len(values) == 0 {
		return fit.Value{}
	}
	return pooled(values)
}
