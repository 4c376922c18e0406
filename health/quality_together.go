package health

import (
	"ohmledger/fit"
	"ohmledger/health/job"
)

// misjoined reports whether the circuit that a cell's spectra share does not describe one of them, which need not be the one that is
// unlike the others.
func (p *past) misjoined() bool {
	if p == nil || len(p.Measurements) < 2 {
		return false
	}
	for i := range p.Measurements {
		if p.Measurements[i].undescribed() {
			return true
		}
	}
	return false
}

func (m *Measurement) undescribed() bool {
	return m.Fit != nil && m.Quality.Accepted && m.Fit.Because[fit.Polarisation].Code == "unresolved-not-described"
}

// ownFit is the fit that tells whether a spectrum shows its arc: where the shared circuit does not describe one of the cell's spectra,
// that of the spectrum by itself.
func (v *sight) ownFit() *fit.Result {
	if !v.past.misjoined() {
		return v.fit
	}
	return v.past.alone(v.past.index, v.job.Instrument)
}

// spoiler is the file of another measurement of the cell that by itself shows no arc; empty where there is none.
func (v *sight) spoiler() string {
	for k := range v.past.Measurements {
		m := &v.past.Measurements[k]
		if k != v.past.index && m.Quality.Accepted && !v.past.alone(k, v.job.Instrument).Polarisation.Known() {
			return m.Row.File
		}
	}
	return ""
}

// alone is the fit of one of the cell's spectra by itself.
func (p *past) alone(i int, of job.Instrument) *fit.Result {
	return fit.Spectrum(measured(&p.Measurements[i], of))
}
