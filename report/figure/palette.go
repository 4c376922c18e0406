package figure

import (
	"image/color"
	"math"
)

// The inks of figures: dark for text, quieter for axes and leaders, palest for the grid. They are hundredths of full light, which
// formats say in few characters.
var (
	ink      = color.NRGBA{28, 36, 38, 255}
	quiet    = color.NRGBA{87, 97, 105, 255}
	pale     = color.NRGBA{168, 176, 181, 255}
	hairline = color.NRGBA{222, 227, 230, 255}
	shade    = color.NRGBA{237, 240, 240, 255}
	paper    = color.NRGBA{255, 255, 255, 255}
)

// Colours of kinds, told apart with every kind of colour vision and, two at a time, in grey: blue,
// vermilion and bluish green of Okabe and Ito, "Color Universal Design" (2008).
var (
	blue      = color.NRGBA{0, 114, 178, 255}
	vermilion = color.NRGBA{213, 94, 0, 255}
	green     = color.NRGBA{0, 158, 115, 255}
)

// AgeColour is the colour of an age from 0, the oldest measurement, to 1, the latest: a path through the
// perceptually uniform space OKLab (B. Ottosson, "A perceptual color space for image processing", 2020)
// along which lightness falls evenly, so that the order shows in grey and to every kind of colour
// vision, while the hue turns from ochre through red to violet-blue.
func AgeColour(age float64) color.NRGBA {
	const (
		lightest, darkest = 0.76, 0.30
		chroma            = 0.15
		firstHue, lastHue = 75., -82. // degrees
	)
	age = min(max(age, 0), 1)
	hue := (firstHue + age*(lastHue-firstHue)) * math.Pi / 180
	return lightColour(lightest+age*(darkest-lightest), chroma, hue)
}

// lightColour is the colour of a lightness (0 to 1), chroma and hue (radian) in OKLab, its chroma
// reduced until sRGB can show it.
func lightColour(lightness, chroma, hue float64) color.NRGBA {
	sin, cos := math.Sincos(hue)
	for ; chroma > 0; chroma -= 0.002 {
		if c, ok := fromOKLab(lightness, chroma*cos, chroma*sin); ok {
			return c
		}
	}
	c, _ := fromOKLab(lightness, 0, 0)
	return c
}

// fromOKLab converts to sRGB with the matrices that Ottosson publishes; false outside the gamut.
func fromOKLab(lightness, a, b float64) (color.NRGBA, bool) {
	l := cube(lightness + 0.3963377774*a + 0.2158037573*b)
	m := cube(lightness - 0.1055613458*a - 0.0638541728*b)
	s := cube(lightness - 0.0894841775*a - 1.2914855480*b)
	channels := [3]float64{
		4.0767416621*l - 3.3077115913*m + 0.2309699292*s,
		-1.2684380046*l + 2.6097574011*m - 0.3413193965*s,
		-0.0041960863*l - 0.7034186147*m + 1.7076147010*s,
	}
	inside := true
	var bytes [3]uint8
	for i, light := range channels {
		inside = inside && light >= 0 && light <= 1
		bytes[i] = uint8(math.Round(255 * companded(min(max(light, 0), 1))))
	}
	return color.NRGBA{bytes[0], bytes[1], bytes[2], 255}, inside
}

func cube(x float64) float64 { return x * x * x }

// companded is the value of a channel of sRGB for an amount of light, both 0 to 1 (IEC 61966-2-1:1999).
func companded(light float64) float64 {
	if light <= 0.0031308 {
		return 12.92 * light
	}
	return 1.055*math.Pow(light, 1/2.4) - 0.055
}

// faded is a colour mixed with paper, share of it left.
func faded(c color.NRGBA, share float64) color.NRGBA {
	mix := func(v uint8) uint8 { return hundredth(255 - share*float64(255-v)) }
	return color.NRGBA{mix(c.R), mix(c.G), mix(c.B), c.A}
}

// hundredth is the step of an amount of light that is nearest to its hundredth of full light.
func hundredth(v float64) uint8 { return uint8(math.Round(math.Round(v/2.55) * 255 / 100)) }
