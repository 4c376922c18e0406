package xlsx

import (
	"iter"
	"math"
	"slices"
	"strings"
	"time"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/health/statistics"
	"ohmledger/report"
	"ohmledger/report/notation"
)

// forecast is a row of the forecasts: where one quantity of a cell leads. An opinion, never a result.
type forecast struct {
	*health.Trend
	cell  *health.Cell
	limit limit
}

// forecasts lists the trends of all cells that have a history.
func (b *book) forecasts() error {
	byDays, any := false, false
	for f := range b.allForecasts() {
		any, byDays = true, byDays || f.Against == "days"
	}
	if !any {
		return nil
	}
	c := b.forecastColumns(byDays)
	s := b.newSheet("forecasts", widths(c), firstRow)
	s.top("forecasts")
	table(s, "forecasts", firstRow, c, b.allForecasts())
	return s.end()
}

func (b *book) allForecasts() iter.Seq[forecast] {
	return func(yield func(forecast) bool) {
		for _, c := range b.cells() {
			for i := range c.Trend {
				if !yield(forecast{&c.Trend[i], c, b.limitOf(&c.Trend[i])}) {
					return
				}
			}
		}
	}
}

// limitOf is the limit that a trend leads to.
func (b *book) limitOf(t *health.Trend) limit {
	at := slices.IndexFunc(b.list, func(l limit) bool {
		return l.Quantity == t.Quantity && (t.Course == nil || l.Limit == t.Course.Limit)
	})
	if at < 0 {
		return limit{Limit: job.Limit{Quantity: t.Quantity, Bound: math.NaN()}, scale: b.scaleOf(t.Quantity)}
	}
	return b.list[at]
}

func (b *book) forecastColumns(byDays bool) *columns[forecast] {
	c := newColumns[forecast]()
	c.words("cell", b.say("column.cell"), b.plan.cellWidth, func(f forecast) string { return f.cell.Name })
	c.words("quantity", b.say("column.quantity"), 42, func(f forecast) string { return b.quantity(f.Quantity) })
	c.words("side", b.say("column.side"), sideWidth, func(f forecast) string {
		if f.limit.Side == "" {
			return ""
		}
		return b.side(f.limit.Side)
	})
	c.figure(b, "limit_issued", func(f forecast) cell { return number64(f.limit.scale.In(f.limit.Bound), "") })
	c.words("unit", b.say("column.unit"), narrow, func(f forecast) string { return unitOf(f.limit.scale) })
	c.words("against", b.say("column.against"), 16, func(f forecast) string { return b.say("against." + f.Against) })
	c.figure(b, "points", func(f forecast) cell {
		return f.course(func(k *health.Course) cell { return cell{value: len(k.Points)} })
	})
	c.words("law", b.say("column.trend_law"), 14, func(f forecast) string { return b.trendLaw(f.Law) })
	c.figure(b, "rate", func(f forecast) cell { return estimate(f.rate(), f.limit.scale) })
	c.figure(b, "u_rate", func(f forecast) cell {
		if !f.Rate.Known() {
			return cell{}
		}
		u := f.Rate.StandardUncertainty() * f.step()
		return number64(f.limit.scale.In(u), formatFor(f.rate().StandardUncertainty(), f.limit.scale))
	})
	c.words("rate_unit", b.say("column.rate_unit"), 22, b.rateUnit)
	b.crossingColumns(c, byDays)
	c.words("reason", b.say("column.no_crossing"), widest, func(f forecast) string { return f.Reason })
	b.lawWeights(c)
	b.robustColumns(c)
	return c
}

// course is a cell of a trend that says what it rests on.
func (f forecast) course(of func(c *health.Course) cell) cell {
	if f.Course == nil {
		return cell{}
	}
	return of(f.Course)
}

// step of the axis that rates are stated for, as in the PDF.
func (f forecast) step() float64 { return report.RateStep(f.Trend) }

// rate for a step of the axis that is worth stating.
func (f forecast) rate() fit.Value {
	if !f.Rate.Known() {
		return fit.Value{}
	}
	step, u := f.step(), f.Rate.StandardUncertainty()
	if u < leastRelative*math.Abs(f.Rate.Estimate()) { // points that lie on the law
		u = leastRelative * math.Abs(f.Rate.Estimate())
	}
	return fit.NewValue(f.Rate.Estimate()*step, u*step)
}

// leastRelative is the uncertainty of a rate, over the rate, to whose digits it is shown at most.
const leastRelative = 1e-4

func (b *book) rateUnit(f forecast) string {
	if !f.Rate.Known() {
		return ""
	}
	return b.say("rate."+f.Against, map[string]any{"Unit": unitOf(f.limit.scale), "Step": b.words.Notation().Stated(f.step(), notation.One.Scale())})
}

func (b *book) trendLaw(law string) string {
	if law == "" {
		return ""
	}
	return b.say("trend_law." + strings.ReplaceAll(law, " ", "-"))
}

// crossingColumns are where the limit is met, in units of the axis and as dates where that counts days.
func (b *book) crossingColumns(c *columns[forecast], byDays bool) {
	at := func(key string, of func(x *health.Crossing) float64) {
		c.figure(b, key, func(f forecast) cell {
			switch {
			case f.Crosses == nil:
				return cell{}
			case math.IsInf(of(f.Crosses), 1):
				return words(b.say("forecast.open"), look{side: "right"})
			}
			return number64(of(f.Crosses), "0")
		})
	}
	at("crossing", func(x *health.Crossing) float64 { return x.Value })
	at("crossing_lower", func(x *health.Crossing) float64 { return x.Lower95 })
	at("crossing_upper", func(x *health.Crossing) float64 { return x.Upper95 })
	at("crossing_shared_lower", func(x *health.Crossing) float64 { return x.WithShared.Lower })
	at("crossing_shared_upper", func(x *health.Crossing) float64 { return x.WithShared.Upper })
	if !byDays {
		return
	}
	date := func(key string, of func(x *health.Crossing) float64) {
		c.figure(b, key, func(f forecast) cell { return f.date(of) })
	}
	date("crossing_date", func(x *health.Crossing) float64 { return x.Value })
	date("crossing_date_lower", func(x *health.Crossing) float64 { return x.WithShared.Lower })
	date("crossing_date_upper", func(x *health.Crossing) float64 { return x.WithShared.Upper })
}

// date is the day of a place on an axis of days, as far as there are such days.
func (f forecast) date(of func(x *health.Crossing) float64) cell {
	const most = 36500 // a hundred years, well within what a workbook can date
	if f.Against != "days" || f.Crosses == nil || f.Course == nil || len(f.Course.Points) == 0 || !(math.Abs(of(f.Crosses)) < most) {
		return cell{}
	}
	first := f.cell.Measurements[f.Course.Points[0].Measurement].Row.MeasuredAt
	return cell{value: first.Add(time.Duration(of(f.Crosses) * float64(24*time.Hour))), look: look{format: dateFormat, side: "right"}}
}

// lawWeights are the Akaike weights of the laws that were tried.
func (b *book) lawWeights(c *columns[forecast]) {
	for _, law := range []string{"linear", "square root", "power"} {
		c.add("weight "+law, b.say("law_weight", b.trendLaw(law)), middling, func(f forecast, _ int) cell {
			return f.course(func(k *health.Course) cell {
				i := slices.IndexFunc(k.Laws, func(l health.CourseLaw) bool { return l.Law == law })
				if i < 0 {
					return cell{}
				}
				return number64(k.Laws[i].Weight, percentFormat)
			})
		})
	}
}

// robustColumns are slope and test that no single point can turn, and how the same forecast from half of the points fared.
func (b *book) robustColumns(c *columns[forecast]) {
	slope := func(key string, of func(r *statistics.RobustTrend) float64) {
		c.figure(b, key, func(f forecast) cell {
			return f.course(func(k *health.Course) cell {
				if len(k.Laws) == 0 {
					return cell{}
				}
				step := f.step()
				return number64(f.limit.scale.In(of(&k.Robust)*step), formatFor(f.rate().StandardUncertainty(), f.limit.scale))
			})
		})
	}
	slope("robust_slope", func(r *statistics.RobustTrend) float64 { return r.Slope })
	slope("robust_lower", func(r *statistics.RobustTrend) float64 { return r.Interval.Lower })
	slope("robust_upper", func(r *statistics.RobustTrend) float64 { return r.Interval.Upper })
	c.figure(b, "robust_p", func(f forecast) cell {
		return f.course(func(k *health.Course) cell {
			if len(k.Laws) == 0 {
				return cell{}
			}
			return number64(k.Robust.P, chanceFormat)
		})
	})
	c.words("trial", b.say("column.trial"), 44, func(f forecast) string {
		if f.Course == nil || f.Course.Trial == nil {
			return ""
		}
		return b.say("trial", *f.Course.Trial)
	})
}
