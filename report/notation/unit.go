package notation

import (
	"slices"

	"ohmledger/fit"
	"ohmledger/health/job"
)

// Unit is a unit as reports show it. Units of one are empty.
type Unit struct {
	Symbol   string
	Prefixed bool // whether SI prefixes suit it
	power    int  // of ten, for a unit like % that has no prefix and is not 1
}

// The units of a report.
var (
	One           = Unit{}
	Percent       = Unit{Symbol: "%", power: -2}
	Ohm           = Unit{Symbol: "Ω", Prefixed: true}
	OhmPerRootS   = Unit{Symbol: "Ω/√s", Prefixed: true} // of a Warburg coefficient
	Henry         = Unit{Symbol: "H", Prefixed: true}
	Second        = Unit{Symbol: "s", Prefixed: true}
	Hertz         = Unit{Symbol: "Hz", Prefixed: true}
	Volt          = Unit{Symbol: "V", Prefixed: true}
	Ampere        = Unit{Symbol: "A", Prefixed: true}
	AmpereHour    = Unit{Symbol: "Ah"} // the trade writes Ah, not mAh, for whole cells of this size: common practice
	Celsius       = Unit{Symbol: "°C"}
	KilojouleMole = Unit{Symbol: "kJ/mol"}
	Minute        = Unit{Symbol: "min"}
	Day           = Unit{Symbol: "d"}
)

// UnitOf is the unit of a quantity that a limit may name.
func UnitOf(q job.Quantity) Unit {
	switch q {
	case job.OhmicOhm, job.ChargeTransferOhm, job.ACResistance1kHzOhm:
		return Ohm
	case job.CapacityAh:
		return AmpereHour
	}
	return One
}

// Scale is a unit with its SI prefix: what the numbers of one quantity or of one column are written in.
type Scale struct {
	Symbol string // "mΩ"
	Power  int    // of ten: −3 for milli
}

// prefixes of the SI by power of ten (SI Brochure, 9th edition, table 7), in steps of a thousand.
var prefixes = []struct {
	symbol string
	power  int
}{{"p", -12}, {"n", -9}, {"µ", -6}, {"m", -3}, {"", 0}, {"k", 3}, {"M", 6}, {"G", 9}}

// Scale chooses the prefix for values that stand in one column, or for one value: the middle one then
// has one to three digits before the point, or where its uncertainty is larger than that, no noughts
// that the uncertainty does not reach.
func (u Unit) Scale(values ...fit.Value) Scale {
	if !u.Prefixed {
		return Scale{u.Symbol, u.power}
	}
	var powers []int
	for _, v := range values {
		if v.Known() && (v.Estimate() != 0 || v.StandardUncertainty() != 0) {
			powers = append(powers, thousands(v))
		}
	}
	if len(powers) == 0 {
		return Scale{u.Symbol, 0}
	}
	slices.Sort(powers)
	return u.scaleOf(powers[len(powers)/2])
}

// thousands is the power of ten, a multiple of three, that suits one value.
func thousands(v fit.Value) int {
	y, u := roundBy(v.Estimate(), v.StandardUncertainty())
	power := floorThree(y.leading())
	if u.digits != 0 { // its last digit stands at or after the point
		power = max(power, -floorThree(-u.exponent))
	}
	return power
}

// floorThree is the multiple of three at or below n.
func floorThree(n int) int { return n - ((n%3)+3)%3 }

// scaleOf is the prefix nearest to a power of ten.
func (u Unit) scaleOf(power int) Scale {
	power = min(max(power, prefixes[0].power), prefixes[len(prefixes)-1].power)
	for _, p := range prefixes {
		if p.power == power {
			return Scale{p.symbol + u.Symbol, p.power}
		}
	}
	return Scale{u.Symbol, 0}
}

// Decimals are the digits after the point that an uncertainty leaves an estimate in this scale, for a
// workbook whose cells hold full precision and show rounded numbers.
func (s Scale) Decimals(u float64) int {
	if !(u > 0) {
		return 0
	}
	return max(0, s.Power-roundUncertainty(u).exponent)
}

// In gives a number in this scale.
func (s Scale) In(x float64) float64 {
	if s.Power > 0 {
		return x / float64(powerOfTen(s.Power))
	}
	return x * float64(powerOfTen(-s.Power))
}
