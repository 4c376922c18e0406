package xlsx

import (
	"math"
	"strings"

	"ohmledger/fit"
	"ohmledger/report"
	"ohmledger/report/notation"
)

// fits lists the fitted circuit of each measurement.
func (b *book) fits() error {
	c := newColumns[measured]()
	b.identity(c)
	b.outcome(c)
	b.parameters(c)
	c.words("excluded", b.say("column.excluded"), 80, func(m measured) string { return b.exclusions(m.fitted()) })
	c.words("doubts", b.say("column.doubts"), 90, func(m measured) string { return b.doubts(m.fitted()) })
	s := b.newSheet("fits", widths(c), firstRow)
	s.top("fits")
	table(s, "fit_parameters", firstRow, c, b.measurements())
	return s.end()
}

// outcome says how the fit went.
func (b *book) outcome(c *columns[measured]) {
	c.words("status", b.say("column.fit_status"), 16, func(m measured) string { return b.words.FitStatus(m.fitted().Status) })
	count := func(key string, of func(r *fit.Result) int) {
		c.add(key, b.say("column."+key), narrow, func(m measured, _ int) cell { return cell{value: of(m.fitted())} })
	}
	count("arcs", func(r *fit.Result) int { return r.Arcs })
	count("points_used", func(r *fit.Result) int { return r.PointsUsed })
	figure := func(key, format string, of func(r *fit.Result) float64) {
		c.add(key, b.say("column."+key), narrow, func(m measured, _ int) cell {
			if r := m.fitted(); r.PointsUsed > 0 {
				return number64(of(r), format)
			}
			return cell{}
		})
	}
	figure("rms_residual", "0.000%", func(r *fit.Result) float64 { return r.RMSResidual })
	figure("chi_square", "0.00", func(r *fit.Result) float64 { return r.ChiSquare })
	figure("runs_z", "0.0", func(r *fit.Result) float64 { return r.RunsZ })
}

// number64 is a finite number, blank otherwise: a cell cannot hold what is none.
func number64(x float64, format string) cell {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return cell{}
	}
	return cell{value: x, look: look{format: format}}
}

// parameters are those of the circuit, each in one scale for the whole column.
func (b *book) parameters(c *columns[measured]) {
	ohm := b.plan.resistance
	for _, p := range []struct {
		key  string
		unit notation.Unit
		of   func(r *fit.Result) fit.Value
	}{
		{"inductance", notation.Henry, func(r *fit.Result) fit.Value { return r.Inductance }},
		{"inductance_exponent", notation.One, func(r *fit.Result) fit.Value { return r.InductanceExponent }},
		{"ohmic", notation.Ohm, func(r *fit.Result) fit.Value { return r.Ohmic }},
		{"film", notation.Ohm, func(r *fit.Result) fit.Value { return r.Film }},
		{"film_time_constant", notation.Second, func(r *fit.Result) fit.Value { return r.FilmTimeConstant }},
		{"film_exponent", notation.One, func(r *fit.Result) fit.Value { return r.FilmExponent }},
		{"charge_transfer", notation.Ohm, func(r *fit.Result) fit.Value { return r.ChargeTransfer }},
		{"charge_transfer_time_constant", notation.Second, func(r *fit.Result) fit.Value { return r.ChargeTransferTimeConstant }},
		{"charge_transfer_exponent", notation.One, func(r *fit.Result) fit.Value { return r.ChargeTransferExponent }},
		{"all_arcs", notation.Ohm, func(r *fit.Result) fit.Value { return r.Polarisation }},
		{"warburg", notation.OhmPerRootS, func(r *fit.Result) fit.Value { return r.Warburg }},
		{"diffusion_exponent", notation.One, func(r *fit.Result) fit.Value { return r.DiffusionExponent }},
	} {
		scale := ohm
		if p.unit != notation.Ohm {
			scale = b.columnScale(p.unit, p.of)
		}
		c.value(b, p.key, b.say("column."+p.key), scale, func(m measured) fit.Value { return p.of(m.fitted()) })
	}
}

func (b *book) columnScale(u notation.Unit, of func(r *fit.Result) fit.Value) notation.Scale {
	if !u.Prefixed {
		return u.Scale()
	}
	var values []fit.Value
	for m := range b.measurements() {
		values = append(values, of(m.fitted()))
	}
	return u.Scale(values...)
}

// exclusions lists the points that the fit did not use, those of one reason together.
func (b *book) exclusions(r *fit.Result) string {
	var reasons []string
	points := map[string][]string{}
	for _, e := range r.Excluded {
		if points[e.Reason] == nil {
			reasons = append(reasons, e.Reason)
		}
		points[e.Reason] = append(points[e.Reason], b.words.Notation().Frequency(e.FrequencyHz))
	}
	for i, reason := range reasons {
		reasons[i] = strings.Join(points[reason], ", ") + ": " + reason
	}
	return strings.Join(reasons, "; ")
}

// doubts are the fit's doubts and what it could not tell apart.
func (b *book) doubts(r *fit.Result) string {
	var parts []string
	for _, d := range r.Doubts {
		parts = append(parts, d.Text)
	}
	parts = append(parts, report.FitIntervals(b.words, r)...)
	for _, e := range []fit.Element{fit.Ohmic, fit.Film, fit.ChargeTransfer, fit.Polarisation} {
		if reason := r.Unresolved[e]; reason != "" {
			parts = append(parts, b.words.Element(e)+": "+reason)
		}
	}
	return strings.Join(parts, " ")
}
