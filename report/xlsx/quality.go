package xlsx

import (
	"iter"
	"strings"

	"ohmledger/fit/kramerskronig"
	"ohmledger/health"
)

// observed is a row of the quality sheet: a finding about a measurement, or a measurement without any.
type observed struct {
	measured
	finding *health.Finding
}

func (b *book) quality() error {
	c := newColumns[observed]()
	c.words("cell", b.say("column.cell"), b.plan.cellWidth, func(o observed) string { return o.cell.Name })
	c.centred("measured_at", b.say("column.measured_at"), 15, func(o observed, _ int) cell { return moment(o.Row) })
	c.words("file", b.say("column.file"), b.plan.fileWidth, func(o observed) string { return o.Row.File })
	c.words("accepted", b.say("column.accepted"), narrow, func(o observed) string { return b.yesNo(o.Quality.Accepted) })
	c.words("by_hand", b.say("column.accepted_by_hand"), wide, func(o observed) string { return o.Quality.AcceptedByHand })
	b.consistency(c)
	finding := func(key string, width float64, of func(f *health.Finding) string) {
		c.words(key, b.say("column."+key), width, func(o observed) string {
			if o.finding == nil {
				return ""
			}
			return of(o.finding)
		})
	}
	finding("severity", narrow, func(f *health.Finding) string { return b.always("severity." + f.Severity.String()) })
	finding("code", wide, func(f *health.Finding) string { return f.Code })
	finding("message", 60, func(f *health.Finding) string { return f.Message })
	finding("advice", wider, func(f *health.Finding) string { return f.Advice })
	finding("touches", wide, b.touched)
	s := b.newSheet("quality", widths(c), firstRow)
	s.top("quality")
	if holds(s, "quality", b.observations()) {
		table(s, "quality", firstRow, c, b.observations())
	}
	return s.end()
}

// consistency are the figures of the Kramers–Kronig test.
func (b *book) consistency(c *columns[observed]) {
	figure := func(key, format string, of func(k *kramerskronig.Result) float64) {
		c.add(key, b.say("column."+key), middling, func(o observed, _ int) cell {
			if k := o.Quality.KramersKronig; k != nil {
				return number64(of(k), format)
			}
			return cell{}
		})
	}
	figure("kk_rms", "0.000%", func(k *kramerskronig.Result) float64 { return k.RMSResidual })
	figure("kk_max", "0.000%", func(k *kramerskronig.Result) float64 { return k.MaxResidual })
	figure("kk_terms", "0", func(k *kramerskronig.Result) float64 { return float64(k.TimeConstants) })
	figure("kk_noise", "0.000%", func(k *kramerskronig.Result) float64 { return k.NoisePercent / 100 })
}

// touched names the quantities that a finding makes not comparable.
func (b *book) touched(f *health.Finding) string {
	names := make([]string, len(f.Touches))
	for i, q := range f.Touches {
		names[i] = b.quantity(q)
	}
	return strings.Join(names, ", ")
}

func (b *book) observations() iter.Seq[observed] {
	return func(yield func(observed) bool) {
		for m := range b.measurements() {
			if len(m.Quality.Findings) == 0 && !yield(observed{m, nil}) {
				return
			}
			for i := range m.Quality.Findings {
				if !yield(observed{m, &m.Quality.Findings[i]}) {
					return
				}
			}
		}
	}
}
