package spectrum

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
