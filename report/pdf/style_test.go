package pdf

import (
	"math"
	"strings"
	"testing"

	"ohmledger/health"
)

// TestContrast: W3C, "Understanding WCAG 2.1", success criterion 1.4.3: black on white is 21:1; #767676 is
// the lightest grey with 4.5:1 (common practice), #777777 has 4.48:1.
func TestContrast(t *testing.T) {
	for colour, want := range map[string]float64{"#000000": 21, "#ffffff": 1, "#767676": 4.54, "#777777": 4.48} {
		if got := contrastToWhite(parseColour(colour)); math.Abs(got-want) > 0.005 {
			t.Errorf("%s: %.3f, want %v", colour, got, want)
		}
	}
}

func TestAccentIsReadable(t *testing.T) {
	for _, accent := range []string{"#ffff00", "#ffffff", "#00e5ff", "#1f4e5a", "", "red", "#12", hostileText} {
		if got := contrastToWhite(newPalette(accent).accent); got < enoughContrast {
			t.Errorf("%q: contrast %.2f", accent, got)
		}
	}
	if *newPalette("#123456").accent != *parseColour("#123456") {
		t.Error("a readable accent was changed")
	}
}

// TestFalsePass: ILAC-G8:09/2019, probability of false accept for a result at the acceptance limit, U = 2u.
func TestFalsePass(t *testing.T) {
	for k, want := range map[float64]float64{0: 0.5, 2: 0.02275, 3: 0.00135, 2 * 0.83: 0.0485} {
		if got := falsePass(k); math.Abs(got-want) > 5e-5 {
			t.Errorf("k = %v: %v, want %v", k, got, want)
		}
	}
}

// TestHeightsAreOnTheGrid: running text, tables and side heads advance in multiples of a quarter of the module.
func TestHeightsAreOnTheGrid(t *testing.T) {
	s := newSheet(newPalette(""))
	for name, pitch := range map[string]float64{
		"title": s.title.pitch, "answer": s.answer.pitch, "heading": s.heading.pitch, "body": s.body.pitch, "note": s.note.pitch,
		"small": s.small.pitch, "table": s.table.pitch + module/2, "label": s.label.pitch, "equation": s.equation.pitch,
	} {
		if steps := pitch / (module / 4); math.Abs(steps-math.Round(steps)) > 1e-9 {
			t.Errorf("%s: %v mm", name, pitch)
		}
	}
}

// TestVerdictsDifferInShape, not only in colour.
func TestVerdictsDifferInShape(t *testing.T) {
	seen := map[string]health.Verdict{}
	for v := health.NotEvaluated; v <= health.Fail; v++ {
		p := newProvider(pageConfig())
		p.SetCompression(false)
		p.newPage()
		drawVerdict(p.pdf, v, 50, 50, 2)
		b, err := p.GenerateBytes()
		if err != nil {
			t.Fatal(err)
		}
		_, shape, _ := strings.Cut(string(b), "stream\n")
		shape, _, _ = strings.Cut(shape, "endstream")
		if other, known := seen[shape]; known {
			t.Errorf("%v looks like %v", v, other)
		}
		seen[shape] = v
	}
}
