package spectrum

import (
	"math"
	"strconv"
	"strings"
)

// unit is a multiple of an SI unit: factor times a power of ten.
type unit struct {
	factor float64
	power  int
}

func (u unit) known() bool { return u.factor != 0 }

// toSI shifts the decimal point in the digits, so that 37.796 mΩ become exactly what 0.037796 Ω are.
func (u unit) toSI(value float64) float64 {
	if u.power == 0 {
		return value * u.factor
	}
	var room [32]byte
	digits := strconv.AppendFloat(room[:0], value, 'e', -1, 64)
	mantissa, exponent, _ := strings.Cut(string(digits), "e")
	n, _ := strconv.Atoi(exponent)
	value, _ = strconv.ParseFloat(mantissa+"e"+strconv.Itoa(n+u.power), 64) // out of range is ±Inf or 0, and refused as such
	return value * u.factor
}

// Units are looked up as they stand, then in small letters but for a leading M: milli and mega must
// not be taken for each other, so that mHz is known, mhz and MHz are not, and neither is Mohm.
var (
	frequencyUnits = map[string]unit{"hz": {1, 0}, "hertz": {1, 0}, "khz": {1, 3}, "mHz": {1, -3}}

	impedanceUnits = map[string]unit{ // ω is what Ω becomes in small letters
		"ohm": {1, 0}, "ohms": {1, 0}, "ω": {1, 0},
		"mohm": {1, -3}, "mohms": {1, -3}, "milliohm": {1, -3}, "milliohms": {1, -3}, "mω": {1, -3},
		"kohm": {1, 3}, "kohms": {1, 3}, "kω": {1, 3},
		"µohm": {1, -6}, "uohm": {1, -6}, "µω": {1, -6}, "uω": {1, -6},
	}

	angleUnits = map[string]unit{
		"°": degrees, "deg": degrees, "degree": degrees, "degrees": degrees, "rad": {1, 0}, "radian": {1, 0}, "radians": {1, 0},
	}

	degrees = unit{math.Pi / 180, 0}
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
