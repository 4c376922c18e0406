package pdf

import (
	"math"
	"strconv"
	"strings"

	"github.com/johnfercher/maroto/v2/pkg/props"
)

// palette is a document's colours: greys of a slightly cool ink, and one accent.
type palette struct {
	accent, ink, quiet, rule, hairline, tint *props.Color
}

// slateTeal is the accent where the laboratory states none.
const slateTeal = "#1f4e5a"

func newPalette(accent string) palette {
	a := readable(parseColour(accent))
	return palette{
		accent:   a,
		ink:      parseColour("#1c2426"),
		quiet:    parseColour("#576169"),
		rule:     parseColour("#8c969e"),
		hairline: parseColour("#d6dbde"),
		tint:     mix(a, 0.07),
	}
}

// parseColour reads #rrggbb; anything else is the accent of a laboratory that states none.
func parseColour(text string) *props.Color {
	digits, found := strings.CutPrefix(text, "#")
	n, err := strconv.ParseUint(digits, 16, 32)
	if !found || len(digits) != 6 || err != nil {
		return parseColour(slateTeal)
	}
	return &props.Color{Red: int(n >> 16), Green: int(n >> 8 & 0xFF), Blue: int(n & 0xFF)}
}

// mix is a colour thinned with white to a share of itself.
func mix(c *props.Color, share float64) *props.Color {
	thin := func(v int) int { return int(math.Round(255 - share*float64(255-v))) }
	return &props.Color{Red: thin(c.Red), Green: thin(c.Green), Blue: thin(c.Blue)}
}

// enoughContrast is the ratio that small text needs against its ground (WCAG 2.1, criterion 1.4.3).
const enoughContrast = 4.5

// readable darkens a colour until text set in it can be read on white.
func readable(c *props.Color) *props.Color {
	for contrastToWhite(c) < enoughContrast {
		darker := func(v int) int { return v * 9 / 10 }
		c = &props.Color{Red: darker(c.Red), Green: darker(c.Green), Blue: darker(c.Blue)}
	}
	return c
}

// contrastToWhite is the contrast ratio of WCAG 2.1, from the relative luminance of sRGB.
func contrastToWhite(c *props.Color) float64 {
	return 1.05 / (0.2126*linear(c.Red) + 0.7152*linear(c.Green) + 0.0722*linear(c.Blue) + 0.05)
}

// linear is the light of a channel of sRGB, 0 to 1 (IEC 61966-2-1:1999).
func linear(channel int) float64 {
	v := float64(channel) / 255
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}
