package figure

import (
	"image/color"
	"math"
	"testing"
)

// lightness is L* of CIE 1976 (CIE 15:2004, 8.2.1) of an sRGB colour, white 100.
func lightness(c color.NRGBA) float64 {
	y := 0.2126*light(c.R) + 0.7152*light(c.G) + 0.0722*light(c.B) // IEC 61966-2-1:1999
	if y > 216./24389 {
		return 116*math.Cbrt(y) - 16
	}
	return 24389. / 27 * y
}

// light is the amount of light of a channel of sRGB (IEC 61966-2-1:1999).
func light(channel uint8) float64 {
	v := float64(channel) / 255
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

func TestLightnessOfKnownColours(t *testing.T) {
	// CIE 15:2004: L* is 100 for white, 0 for black; 18 % grey lies at 49.5 (common practice). sRGB's red, green
	// and blue have L* 53.24, 87.73, 32.30 (D65, from memory).
	for _, c := range []struct {
		c    color.NRGBA
		want float64
	}{{paper, 100}, {color.NRGBA{}, 0}, {color.NRGBA{R: 255}, 53.24}, {color.NRGBA{G: 255}, 87.73}, {color.NRGBA{B: 255}, 32.30}} {
		if got := lightness(c.c); math.Abs(got-c.want) > 0.05 {
			t.Errorf("%v: L* %.2f, want %.2f", c.c, got, c.want)
		}
	}
}

func TestAgesDarkenEvenly(t *testing.T) {
	const steps = 100
	previous := math.Inf(1)
	for i := range steps + 1 {
		l := lightness(AgeColour(float64(i) / steps))
		if !(l < previous) {
			t.Errorf("age %d %%: L* %.2f after %.2f", i, l, previous)
		}
		previous = l
	}
	whole := lightness(AgeColour(0)) - lightness(AgeColour(1))
	for i := range 8 {
		step := lightness(AgeColour(float64(i)/8)) - lightness(AgeColour(float64(i+1)/8))
		if step < 0.6*whole/8 || step > 1.5*whole/8 {
			t.Errorf("step %d of L*: %.2f of %.2f", i, step, whole)
		}
	}
}

func TestAgesCanBeReadOnPaper(t *testing.T) {
	// WCAG 2.1, 1.4.11 asks 3 : 1 of graphics; the lightest age may fall a little short of it.
	for i := range 11 {
		c := AgeColour(float64(i) / 10)
		y := 0.2126*light(c.R) + 0.7152*light(c.G) + 0.0722*light(c.B)
		if contrast := 1.05 / (y + 0.05); contrast < 2 || i >= 3 && contrast < 3 {
			t.Errorf("age %d0 %%: contrast %.2f", i, contrast)
		}
	}
}

// dichromat simulates lost cones in linear light: the matrices of Viénot, Brettel and Mollon, Color
// Research and Application 24 (1999) 243 (from memory).
func dichromat(c color.NRGBA, kind string) color.NRGBA {
	r, g, b := light(c.R), light(c.G), light(c.B)
	l := 17.8824*r + 43.5161*g + 4.11935*b
	m := 3.45565*r + 27.1554*g + 3.86714*b
	s := 0.0299566*r + 0.184309*g + 1.46709*b
	switch kind {
	case "protan":
		l = 2.02344*m - 2.52581*s
	case "deutan":
		m = 0.494207*l + 1.24827*s
	}
	back := func(v float64) uint8 { return uint8(math.Round(255 * companded(min(max(v, 0), 1)))) }
	return color.NRGBA{
		back(0.0809444479*l - 0.130504409*m + 0.116721066*s),
		back(-0.0102485335*l + 0.0540193266*m - 0.113614708*s),
		back(-0.000365296938*l - 0.00412161469*m + 0.693511405*s), 255,
	}
}

func TestAgesStayInOrderForDichromats(t *testing.T) {
	for _, kind := range []string{"none", "protan", "deutan"} {
		previous := math.Inf(1)
		for i := range 8 {
			l := lightness(dichromat(AgeColour(float64(i)/7), kind))
			if previous-l < 2 {
				t.Errorf("%s, age %d of 8: L* %.2f after %.2f", kind, i, l, previous)
			}
			previous = l
		}
	}
}

func TestOKLabMeetsItsReference(t *testing.T) {
	// B. Ottosson, "A perceptual color space for image processing" (2020): D65 white has L 1, a 0, b 0. sRGB red has
	// L 0.62796, a 0.22486, b 0.12585 (from memory).
	for _, c := range []struct {
		l, a, b float64
		want    color.NRGBA
	}{{1, 0, 0, paper}, {0, 0, 0, color.NRGBA{A: 255}}, {0.62796, 0.22486, 0.12585, color.NRGBA{R: 255, A: 255}}} {
		got, _ := fromOKLab(c.l, c.a, c.b)
		if math.Abs(float64(got.R)-float64(c.want.R)) > 1 || math.Abs(float64(got.G)-float64(c.want.G)) > 1 || math.Abs(float64(got.B)-float64(c.want.B)) > 1 {
			t.Errorf("%v %v %v: %v, want %v", c.l, c.a, c.b, got, c.want)
		}
	}
}
