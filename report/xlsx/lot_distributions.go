package xlsx

import (
	"iter"
	"math"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/report/notation"
)

// laid is a row of the distributions: a law laid on the values of a quantity.
type laid struct {
	of    *health.LotQuantity
	fit   *health.DistributionFit
	i     int
	scale notation.Scale
}

// distributions lists the laws laid on each quantity, with what follows if they hold.
func (b *book) distributions() error {
	l := b.doc.Assessment.Lot
	if l == nil {
		return nil
	}
	rows := b.allLaid(l)
	any := false
	for range rows {
		any = true
	}
	if !any {
		return nil
	}
	c := b.lawColumns()
	s := b.newSheet("distributions", widths(c), firstRow)
	s.top("distributions")
	table(s, "distributions", firstRow, c, rows)
	return s.end()
}

func (b *book) allLaid(l *health.Lot) iter.Seq[laid] {
	return func(yield func(laid) bool) {
		for i := range l.Quantities {
			q := &l.Quantities[i]
			for k := range q.Fits {
				if !yield(laid{q, &q.Fits[k], k, b.scaleOf(q.Quantity)}) {
					return
				}
			}
		}
	}
}

// number shows a number to the digits that the spread of the lot gives it.
func (r laid) number(x float64) cell {
	return number64(r.scale.In(x), formatFor(spreadOf(r.of), r.scale))
}

func (b *book) lawColumns() *columns[laid] {
	c := newColumns[laid]()
	c.words("quantity", b.say("column.quantity"), 42, func(r laid) string { return b.quantity(r.of.Quantity) })
	c.words("law", b.say("column.law"), 22, func(r laid) string { return b.always("term.law." + r.fit.Law) })
	c.words("unit", b.say("column.unit"), narrow, func(r laid) string { return unitOf(r.scale) })
	c.words("adopted", b.say("column.law_adopted"), middling, func(r laid) string { return b.adopted(r) })
	each := func(key, format string, of func(f *health.DistributionFit) float64) {
		c.figure(b, key, func(r laid) cell { return number64(of(r.fit), format) })
	}
	each("law_statistic", chanceFormat, func(f *health.DistributionFit) float64 { return f.Normality.Statistic })
	each("law_critical", chanceFormat, func(f *health.DistributionFit) float64 { return f.Normality.Critical })
	each("law_p", chanceFormat, func(f *health.DistributionFit) float64 { return f.Normality.P })
	each("law_correlation", "0.0000", func(f *health.DistributionFit) float64 { return f.PlotCorrelation })
	b.lawParameters(c)
	b.toleranceColumns(c)
	b.capabilityColumns(c)
	return c
}

func (b *book) adopted(r laid) string {
	if math.IsNaN(r.fit.Normality.P) {
		return b.say("law.not_tested")
	}
	return b.yesNo(r.i == r.of.Adopted)
}

// lawParameters are mean and standard deviation, of the natural logarithm of the value in its SI unit where lognormal.
func (b *book) lawParameters(c *columns[laid]) {
	each := func(key string, of func(f *health.DistributionFit) float64) {
		c.figure(b, key, func(r laid) cell {
			if r.fit.Law == "lognormal" {
				return number64(of(r.fit), formatFor(r.fit.Scale, notation.Scale{}))
			}
			return r.number(of(r.fit))
		})
	}
	each("law_location", func(f *health.DistributionFit) float64 { return f.Location })
	each("law_scale", func(f *health.DistributionFit) float64 { return f.Scale })
}

// toleranceColumns are the intervals that hold most of such cells, both-sided and one-sided.
func (b *book) toleranceColumns(c *columns[laid]) {
	each := func(key string, of func(f *health.DistributionFit) float64) {
		c.figure(b, key, func(r laid) cell { return r.number(of(r.fit)) })
	}
	plain := func(key, format string, of func(f *health.DistributionFit) float64) {
		c.figure(b, key, func(r laid) cell { return number64(of(r.fit), format) })
	}
	plain("tolerance_content", "0%", func(f *health.DistributionFit) float64 { return f.Tolerance.Content })
	plain("tolerance_confidence", "0%", func(f *health.DistributionFit) float64 { return f.Tolerance.Confidence })
	each("tolerance_lower", func(f *health.DistributionFit) float64 { return f.Tolerance.Lower })
	each("tolerance_upper", func(f *health.DistributionFit) float64 { return f.Tolerance.Upper })
	plain("tolerance_factor", chanceFormat, func(f *health.DistributionFit) float64 { return f.Tolerance.Factor })
	each("tolerance_above", func(f *health.DistributionFit) float64 { return f.LowerTolerance.Lower })
	each("tolerance_below", func(f *health.DistributionFit) float64 { return f.UpperTolerance.Upper })
	plain("tolerance_factor_one", chanceFormat, func(f *health.DistributionFit) float64 { return f.UpperTolerance.Factor })
}

// capabilityColumns are the indices with their 95 % intervals, and what the law expects beyond the limits as issued: of the law that
// describes the lot.
func (b *book) capabilityColumns(c *columns[laid]) {
	each := func(key, format string, of func(k *health.Capability) (float64, bool)) {
		c.figure(b, key, func(r laid) cell {
			if r.fit.Capability == nil || r.i != r.of.Adopted {
				return cell{}
			}
			x, known := of(r.fit.Capability)
			if !known {
				return cell{}
			}
			return number64(x, format)
		})
	}
	index := func(key string, of func(k *health.Capability) health.CapabilityIndex) {
		part := func(key string, of2 func(i fit.Interval, value float64) float64) {
			each(key, "0.00", func(k *health.Capability) (float64, bool) { i := of(k); return of2(i.Interval, i.Value), i.Known })
		}
		part(key, func(_ fit.Interval, value float64) float64 { return value })
		part(key+"_lower", func(i fit.Interval, _ float64) float64 { return i.Lower })
		part(key+"_upper", func(i fit.Interval, _ float64) float64 { return i.Upper })
	}
	index("cp", func(k *health.Capability) health.CapabilityIndex { return k.Cp })
	index("cpk", func(k *health.Capability) health.CapabilityIndex { return k.Cpk })
	each("percent_below", "0.0000%", func(k *health.Capability) (float64, bool) { return k.PercentBelow / 100, k.CpkLower.Known })
	each("percent_above", "0.0000%", func(k *health.Capability) (float64, bool) { return k.PercentAbove / 100, k.CpkUpper.Known })
}
