package health

import (
	"math"

	"ohmledger/fit"
	"ohmledger/health/job"
)

// The two ways of sensing, as tables state them.
const (
	twoWire  = "2-wire"
	fourWire = "4-wire"
)

// sensing is how a measurement was wired, as far as comparing goes: two wires whose leads are subtracted are as good as four.
func (m *Measurement) sensing() string {
	if m.Row.Sensing == twoWire && m.Fixture != nil {
		return fourWire
	}
	return m.Row.Sensing
}

func (v *sight) sensing() string { return (&Measurement{Row: v.row, Fixture: v.fixture}).sensing() }

func seeSensingDiffers(v *sight) []Fact {
	own := v.sensing()
	if own == "" || v.baseline.sensing == "" || own == v.baseline.sensing {
		return nothing
	}
	return seen(word("sensing", own), word("baseline", v.baseline.sensing))
}

func seeSOCDiffers(v *sight) []Fact {
	if !socApart(v.row.SOCPercent, v.baseline.SOCPercent, v.job.Conditions.SOCTolerancePercent) {
		return nothing
	}
	return seen(number("at", *v.row.SOCPercent, PerCent), number("baseline", *v.baseline.SOCPercent, PerCent),
		number("tolerance", v.job.Conditions.SOCTolerancePercent, PerCent))
}

func seeInstrumentDiffers(v *sight) []Fact {
	if v.baseline.instrument == "" || v.row.Instrument == "" || v.row.Instrument == v.baseline.instrument {
		return nothing
	}
	return seen(word("instrument", v.row.Instrument), word("baseline", v.baseline.instrument), number("scale", v.job.Instrument.RelativeUncertainty, Fraction))
}

func seeFixtureDiffers(v *sight) []Fact {
	if v.baseline.fixture == "" || v.row.Fixture == "" || v.row.Fixture == v.baseline.fixture {
		return nothing
	}
	return seen(word("fixture", v.row.Fixture), word("baseline", v.baseline.fixture))
}

// coarse is the share of the room up to a limit that the instrument's own expanded uncertainty may take: a test uncertainty
// ratio of 4 : 1 (common practice; the ratio is that of ANSI/NCSL Z540.3, from memory).
const coarse = 1. / 4

// seeInstrumentCoarse holds the instrument's stated uncertainty against the room between unchanged and the limit.
func seeInstrumentCoarse(v *sight) []Fact {
	k := v.job.DecisionRule.CoverageFactor
	for _, l := range v.job.Limits {
		expanded, room, ok := v.instrumentAgainst(l)
		if expanded *= k; ok && expanded > coarse*room {
			return seen(word("quantity", string(l.Quantity)), number("expanded", expanded, Fraction), number("room", room, Fraction), number("limit", l.Bound, One))
		}
	}
	return nothing
}

// instrumentAgainst is the relative standard uncertainty that the instrument alone gives a quantity that a limit names, and
// the relative room between the baseline and the limit. False where there is no such room to speak of.
func (v *sight) instrumentAgainst(l job.Limit) (u, room float64, ok bool) {
	r, isResistance := limited[l.Quantity]
	if !isResistance || !(l.Bound > 0) || v.fit == nil {
		return 0, 0, false
	}
	value := v.resistance(r)
	if !value.Known() || !(value.Estimate() > 0) {
		return 0, 0, false
	}
	own, before := v.instrumentU(r, value.Estimate(), v.row.Instrument), 0.0
	base := v.baseline.value(r)
	if measurands[l.Quantity].ratio {
		if base.Known() && base.Estimate() > 0 {
			before = v.job.Instrument.AbsoluteUncertaintyOhm / base.Estimate()
		}
		if !traits[r].offset {
			before = 0
		}
		return math.Hypot(own, before), math.Abs(math.Log(l.Bound)), l.Bound != 1
	}
	own = math.Hypot(own, v.job.Instrument.RelativeUncertainty)
	if !base.Known() || !(base.Estimate() > 0) || base.Estimate() == l.Bound {
		return 0, 0, false
	}
	return own, math.Abs(l.Bound-base.Estimate()) / value.Estimate(), true
}

// limited is the resistance that decides a quantity.
var limited = map[job.Quantity]resistance{
	job.OhmicOhm: ohmic, job.OhmicGrowth: ohmic, job.ChargeTransferOhm: chargeTransfer, job.ChargeTransferGrowth: chargeTransfer,
	job.ACResistance1kHzOhm: alternating,
}

// instrumentU is the instrument's relative standard uncertainty of a resistance that does not cancel in a ratio to the baseline.
func (v *sight) instrumentU(r resistance, ohm float64, instrument string) (u float64) {
	if traits[r].offset {
		u = v.job.Instrument.AbsoluteUncertaintyOhm / ohm
	}
	if instrument != "" && v.baseline.instrument != "" && instrument != v.baseline.instrument {
		u = math.Hypot(u, math.Sqrt2*v.job.Instrument.RelativeUncertainty)
	}
	return u
}

func (v *sight) resistance(r resistance) fit.Value {
	if r == alternating {
		z, _, ok := impedanceAt(v.spectrum, acFrequencyHz)
		if !ok {
			return fit.Value{}
		}
		value, _ := finite(math.Hypot(real(z), imag(z)), 0)
		return value
	}
	return v.fit.Resistance(traits[r].element)
}

// value is the baseline of a resistance in ohm.
func (f *footing) value(r resistance) fit.Value {
	return [resistanceCount]fit.Value{ohmic: f.Ohmic, chargeTransfer: f.ChargeTransfer, polarisation: f.Polarisation, alternating: f.ACResistance1kHz}[r]
}
