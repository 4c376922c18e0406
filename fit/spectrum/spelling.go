package spectrum

import (
	"math"
	"strings"
)

// quantity is what a column of a spectrum file holds.
type quantity int

const (
	frequency quantity = iota
	realPart
	imaginaryPart
	modulus
	phase
	quantityCount
)

// quantities gives each quantity's name in messages, its key in job.yaml's columns, the project's own
// heading for it, its units, and those units in words.
var quantities = [quantityCount]struct {
	name, key, native string
	units             map[string]unit
	allowed           string
}{
	frequency:     {"frequency", "frequency", "frequency_hz", frequencyUnits, "Hz, kHz or mHz"},
	realPart:      {"real part Z'", "real", "z_real_ohm", impedanceUnits, "ohm, mohm or kohm (or Ω, mΩ, kΩ)"},
	imaginaryPart: {"imaginary part Z''", "imaginary", "z_imag_ohm", impedanceUnits, "ohm, mohm or kohm (or Ω, mΩ, kΩ)"},
	modulus:       {"modulus |Z|", "magnitude", "", impedanceUnits, "ohm, mohm or kohm (or Ω, mΩ, kΩ)"},
	phase:         {"phase", "phase", "", angleUnits, "deg, ° or rad"},
}

func isImpedance(q quantity) bool { return q == realPart || q == imaginaryPart || q == modulus }

// spellings are the names of the trade in small letters, without blanks, underscores, dots and
// brackets, primes as '. A leading minus is told apart before.
var spellings = map[string]quantity{
	"frequency": frequency, "freq": frequency, "f": frequency, "frequenz": frequency,

	"z'": realPart, "rez": realPart, "zre": realPart, "zreal": realPart, "zr": realPart, "re": realPart,
	"real": realPart, "realz": realPart, "realpart": realPart, "realpartofz": realPart, "rez'": realPart,
	"realimpedance": realPart, "impedancereal": realPart, "realteil": realPart,

	"z''": imaginaryPart, "imz": imaginaryPart, "zim": imaginaryPart, "zimag": imaginaryPart, "zi": imaginaryPart,
	"im": imaginaryPart, "imag": imaginaryPart, "imagz": imaginaryPart, "zimaginary": imaginaryPart,
	"imaginary": imaginaryPart, "imaginaryz": imaginaryPart, "imaginarypart": imaginaryPart, "imaginarypartofz": imaginaryPart,
	"imaginaryimpedance": imaginaryPart, "impedanceimag": imaginaryPart, "impedanceimaginary": imaginaryPart, "imaginärteil": imaginaryPart,

	"|z|": modulus, "zmod": modulus, "modz": modulus, "zabs": modulus, "absz": modulus, "zmag": modulus, "magz": modulus,
	"magnitude": modulus, "modulus": modulus, "impedancemagnitude": modulus, "impedancemodulus": modulus, "magnitudeofz": modulus,

	"phase": phase, "phasez": phase, "zphase": phase, "phaseangle": phase, "phaseofz": phase, "argz": phase,
	"phi": phase, "φ": phase, "ϕ": phase, "theta": phase, "θ": phase, "∠z": phase, "phasenwinkel": phase,
}

// unit is a factor to SI, as a fraction, so that 38.5 mΩ become exactly what 0.0385 Ω are.
type unit struct{ times, over float64 }

func (u unit) known() bool { return u.over != 0 }

func (u unit) toSI(value float64) float64 { return value * u.times / u.over }

// Units are looked up as they stand, then in small letters but for a leading M: milli and mega must
// not be taken for each other, so that mHz is known, mhz and MHz are not, and neither is Mohm.
var (
	frequencyUnits = map[string]unit{"hz": {1, 1}, "hertz": {1, 1}, "khz": {1e3, 1}, "mHz": {1, 1e3}}

	impedanceUnits = map[string]unit{ // ω is what Ω becomes in small letters
		"ohm": {1, 1}, "ohms": {1, 1}, "ω": {1, 1},
		"mohm": {1, 1e3}, "mohms": {1, 1e3}, "milliohm": {1, 1e3}, "milliohms": {1, 1e3}, "mω": {1, 1e3},
		"kohm": {1e3, 1}, "kohms": {1e3, 1}, "kω": {1e3, 1},
		"µohm": {1, 1e6}, "uohm": {1, 1e6}, "µω": {1, 1e6}, "uω": {1, 1e6},
	}

	angleUnits = map[string]unit{
		"°": degrees, "deg": degrees, "degree": degrees, "degrees": degrees, "rad": {1, 1}, "radian": {1, 1}, "radians": {1, 1},
	}

	degrees = unit{math.Pi, 180}
)

// parseUnit is the zero unit where the text is none that measures the quantity.
func parseUnit(q quantity, text string) unit {
	units := quantities[q].units
	if u, ok := units[text]; ok {
		return u
	}
	if strings.HasPrefix(text, "M") {
		return unit{}
	}
	return units[strings.ToLower(text)]
}
