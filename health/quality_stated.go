package health

import (
	"math"
	"strings"
)

const (
	fourWireBelowOhm = 1000   // the impedance under which four wires are wanted: common practice
	milliohmCell     = 0.1    // ohm, under which a set current is better than a set voltage: common practice
	linearPeakV      = 0.020  // peak voltage of the a.c. method in IEC 61960-3:2017
	bentPeakV        = 0.040  // peak voltage at which an arc may read some 7 % too small, see shortfall
	cellV            = 5      // peak voltage that is another unit's: no excitation is as large as a cell's own voltage
	faintV           = 0.0005 // rms response under which an instrument's own noise may rule (common practice)
	faintNoise       = 0.005  // of |Z|, standard deviation of a part: what is more noise than a sound measurement has
	openCircuitV     = 0.002  // movement of the open-circuit voltage beside an excitation of 10 mV (common practice)
)

// plausible magnitudes of the smallest |Z| of cells by format, in ohm: far outside of what any cell of the format shows, so
// that a wrong unit or column is found and an aged or cold cell, leads and all, is not. From memory, after B8: 18650
// and 21700 cells have 8 to 60 mΩ, and 45 to 130 mΩ were read in fixtures (NASA Ames, battery data set).
var magnitudes = []struct {
	format    string // in the job's words, lower case
	low, high float64
}{
	{"18650", 0.002, 2}, {"21700", 0.002, 2}, {"20700", 0.002, 2}, {"26650", 0.001, 2}, {"4680", 0.0003, 1},
	{"coin", 0.02, 500}, {"button", 0.02, 500},
	{"cylindrical", 0.0002, 2}, {"pouch", 0.00005, 2}, {"prismatic", 0.00005, 2},
}

// Bounds of the voltage that one ampere for each ampere-hour drops across a cell's smallest |Z|, in volts: 15 to 300 mV at lithium-ion
// cells of every size; a factor of thirty beyond both is other units or no cell (common practice).
const leastDropV, mostDropV = 0.0005, 10

// ratedFactor is by how much a cell may differ from its rated a.c. resistance before it is another cell or unit.
const ratedFactor = 30

// expected gives the range of the smallest |Z| in ohm that the job's cells can have, and whence it is known.
func (v *sight) expected() (low, high float64, by string) {
	if rated := v.job.Cell.RatedACResistance1kHzOhm; rated > 0 {
		return rated / ratedFactor, rated * ratedFactor, "rated"
	}
	format := strings.ToLower(v.job.Cell.Format)
	for _, m := range magnitudes {
		if strings.Contains(format, m.format) {
			return m.low, m.high, "format"
		}
	}
	switch capacity, amplitude := v.job.Cell.NominalCapacityAh, v.row.AmplitudeA; {
	case capacity > 0:
		return leastDropV / capacity, mostDropV / capacity, "capacity"
	case amplitude != nil && *amplitude > 0:
		return 0, cellV / (math.Sqrt2 * *amplitude), "excitation"
	}
	return 0, math.Inf(1), ""
}

func seeImplausible(v *sight) []Fact {
	low, high, by := v.expected()
	own := smallest(v.spectrum)
	if own == 0 || own >= low && own <= high {
		return nothing
	}
	return seen(number("own", own, Ohm), number("low", low, Ohm), number("high", high, Ohm), word("by", by), word("format", v.job.Cell.Format),
		word("fixture", v.corrected()))
}

func seeCorrected(v *sight) []Fact {
	if v.fixture == nil {
		return nothing
	}
	f := v.fixture
	facts := seen(word("sensing", v.row.Sensing), word("by", f.Source), uncertain("resistance", f.Resistance.Estimate(), f.Resistance.StandardUncertainty(), Ohm))
	if !f.Inductance.Known() {
		return append(facts, word("inductance", ""))
	}
	return append(facts, uncertain("inductance", f.Inductance.Estimate(), f.Inductance.StandardUncertainty(), Henry))
}

func seeTwoWire(v *sight) []Fact {
	if v.row.Sensing != twoWire || v.fixture != nil || len(v.spectrum.Impedance) == 0 {
		return nothing
	}
	if z := middling(v.spectrum); z < fourWireBelowOhm {
		return seen(number("impedance", z, Ohm))
	}
	return nothing
}

func seeSensingUnknown(v *sight) []Fact {
	if v.row.Sensing != "" {
		return nothing
	}
	return seen(number("impedance", middling(v.spectrum), Ohm))
}

func seeTemperature(v *sight) []Fact {
	t, c := v.row.TemperatureC, &v.job.Conditions
	if t >= c.TemperatureMinC && t <= c.TemperatureMaxC {
		return nothing
	}
	return seen(number("at", t, Celsius), number("low", c.TemperatureMinC, Celsius), number("high", c.TemperatureMaxC, Celsius),
		number("apart", max(c.TemperatureMinC-t, t-c.TemperatureMaxC), Celsius))
}

func seeSOCOffTarget(v *sight) []Fact {
	c := &v.job.Conditions
	if !socApart(v.row.SOCPercent, c.SOCPercent, c.SOCTolerancePercent) {
		return nothing
	}
	return seen(number("at", *v.row.SOCPercent, PerCent), number("target", *c.SOCPercent, PerCent), number("tolerance", c.SOCTolerancePercent, PerCent))
}

func seeSOCUnknown(v *sight) []Fact {
	if v.row.SOCPercent != nil {
		return nothing
	}
	return seen()
}

func seeRestShort(v *sight) []Fact {
	rest, least := v.row.RestMinutes, v.job.Conditions.MinRestMinutes
	if rest == nil || *rest >= least {
		return nothing
	}
	return seen(number("rest", *rest, Minutes), number("least", least, Minutes))
}

func seeRestUnknown(v *sight) []Fact {
	if v.row.RestMinutes != nil || v.job.Conditions.MinRestMinutes <= 0 {
		return nothing
	}
	return seen(number("least", v.job.Conditions.MinRestMinutes, Minutes))
}

func seeOpenCircuit(v *sight) []Fact {
	before, after := v.row.OCVBeforeV, v.row.OCVAfterV
	if before == nil || after == nil {
		return nothing
	}
	const decimals = 1e-9 // voltages are written in decimals
	moved, strange := *after-*before, 0.0
	for _, v := range [...]float64{*before, *after} {
		if v < 0 || v > cellV {
			strange = v
		}
	}
	if math.Abs(moved) <= openCircuitV+decimals && strange == 0 {
		return nothing
	}
	return seen(number("moved", moved, Volt), number("allowed", openCircuitV, Volt), number("strange", strange, Volt))
}

// excitation is the largest and the smallest rms voltage across the cell during the sweep; false where no amplitude is stated.
func (v *sight) excitation() (largestV, smallestV float64, ok bool) {
	switch {
	case v.row.AmplitudeV != nil:
		return *v.row.AmplitudeV, *v.row.AmplitudeV, *v.row.AmplitudeV > 0
	case v.row.AmplitudeA != nil:
		a := *v.row.AmplitudeA
		return a * answered(v.spectrum), a * smallest(v.spectrum), a > 0 && len(v.spectrum.Impedance) > 0
	}
	return 0, 0, false
}

// peak is the largest peak voltage across the cell; 0 where no amplitude is stated.
func (v *sight) peak() float64 {
	most, _, ok := v.excitation()
	if !ok {
		return 0
	}
	return most * math.Sqrt2
}

func seeExcitationLarge(v *sight) []Fact { return v.excited(linearPeakV, bentPeakV) }

func seeExcitationTooLarge(v *sight) []Fact { return v.excited(bentPeakV, math.Inf(1)) }

func (v *sight) excited(over, upTo float64) []Fact {
	const decimals = 1 + 1e-9 // amplitudes are written in decimals
	peak := v.peak()
	if peak <= over*decimals || peak > upTo*decimals || peak > cellV || seeImplausible(v) != nil {
		return nothing
	}
	return seen(number("peak", peak, Volt), number("limit", linearPeakV, Volt), number("short", shortfall(peak), Fraction))
}

// shortfall is by how much an arc is read too small, at most, when a peak voltage lies across it: of a symmetric transfer the
// current's first harmonic is 2·I₁(x)/x times the linear one with x = F·V/2RT, about 1 + x²/8 (Bard and Faulkner's sinh of the
// overpotential; the harmonic is from memory).
func shortfall(peakV float64) float64 {
	const thermalV = 0.025692579 // RT/F at 25 °C, CODATA 2018
	x := peakV / (2 * thermalV)
	excess := x * x / 8
	return excess / (1 + excess)
}

func seeExcitationSmall(v *sight) []Fact {
	_, least, ok := v.excitation()
	if !ok || v.kk == nil || least >= faintV || v.noise() < faintNoise {
		return nothing
	}
	return seen(number("response", least, Volt), number("noise", v.noise(), Fraction))
}

func seePotentiostatic(v *sight) []Fact {
	z := middling(v.spectrum)
	if v.row.Control != "potentiostatic" || z >= milliohmCell {
		return nothing
	}
	return seen(number("impedance", z, Ohm))
}

// seeCalibration compares days. The date belongs to the job's instrument and says nothing of another one.
func seeCalibration(v *sight) []Fact {
	instrument := &v.job.Instrument
	other := v.row.Instrument != "" && v.row.Instrument != instrument.Name
	if instrument.CalibrationDue.IsZero() || other || day(v.row.MeasuredAt) <= day(instrument.CalibrationDue) {
		return nothing
	}
	days := v.row.MeasuredAt.Sub(instrument.CalibrationDue).Hours() / 24
	return seen(moment("due", instrument.CalibrationDue), count("days", int(math.Ceil(days))))
}
