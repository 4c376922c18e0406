package health

import (
	"ohmledger/fit"
	"ohmledger/health/job"
)

// resistance is one of those that have a baseline.
type resistance int

const (
	ohmic          resistance = iota
	chargeTransfer            // the slower arc, or the whole arc where there is one
	polarisation              // all arcs together
	alternating               // |Z| at 1 kHz
	resistanceCount
)

// traits of each resistance.
var traits = [resistanceCount]struct {
	name    string       // in budgets
	key     job.Quantity // by which sentences call it
	element fit.Element  // of the fit; none for the a.c. resistance
	offset  bool         // the instrument's absolute uncertainty enters: in the width of an arc it cancels
	// touched is the quantity by which findings say that this resistance is not comparable.
	touched job.Quantity
	// corrected is whose activation energy brings it to another temperature.
	corrected resistance
}{
	ohmic:          {"ohmic resistance", job.OhmicOhm, fit.Ohmic, true, job.OhmicGrowth, ohmic},
	chargeTransfer: {"charge-transfer resistance", job.ChargeTransferOhm, fit.ChargeTransfer, false, job.ChargeTransferGrowth, chargeTransfer},
	polarisation:   {"resistance of all arcs", "all_arcs_ohm", fit.Polarisation, false, job.ChargeTransferGrowth, chargeTransfer},
	alternating:    {"a.c. resistance at 1 kHz", job.ACResistance1kHzOhm, -1, true, job.ACResistance1kHzOhm, ohmic},
}

// fact names the resistance to a sentence.
func (r resistance) fact() Fact { return word("resistance", string(traits[r].key)) }

// resistance returns a resistance of the measurement in ohm as its spectrum gave it, or why there is none.
func (m *Measurement) resistance(r resistance) (fit.Value, Statement) {
	if r == alternating {
		return usable(m.ACResistance1kHz, because("band-without-1khz"))
	}
	if m.Fit == nil {
		return fit.Value{}, because("not-fitted")
	}
	e := traits[r].element
	return usable(m.Fit.Resistance(e), because("not-resolved", r.fact(), within("why", unresolved(m.Fit, e))))
}

// usable refuses a resistance that is unknown or cannot be: a logarithm is taken of it.
func usable(v fit.Value, why Statement) (fit.Value, Statement) {
	switch {
	case !v.Known():
		return v, why
	case v.Estimate() <= 0:
		return fit.Value{}, because("resistance-impossible", number("resistance", v.Estimate(), Ohm))
	}
	return v, Statement{}
}

// role is what the contributions of a reading are called in a budget.
type role struct{ fit, temperature, offset, interpolation string }

var (
	asMeasured = role{"fit of this spectrum", "cell temperature", "instrument, absolute part", "interpolation to 1 kHz"}
	asBaseline = role{"fit of the baseline", "cell temperature of the baseline", "instrument, absolute part, at the baseline", "interpolation to 1 kHz"}
)

// Lines of the budget for what readings share and what therefore cancels in a ratio, wholly or in part.
const (
	instrumentScale = "instrument, relative part"
	circuitMisfit   = "circuit that is not quite the cell"
)
