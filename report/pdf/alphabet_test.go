package pdf

import (
	"reflect"
	"strings"
	"testing"
	"unicode/utf8"
)

func TestLegible(t *testing.T) {
	for text, want := range map[string]string{
		"Ωµμ²⁻³₀ₙ°±−≤≥≈·√∞→‰“”": "ΩµμΩ",
		"a\tb\r\nc\rd\u2028e":    "a b\nc\nd\ne",
		"e\u0301":                "é",
		"soft\u00adhyphen\u200b": "soft\u00adhyphen",
		"cell 😀":                 "cell \uFFFD",
		"𝔸":                      "\uFFFD",
		"中文":                     "\uFFFD\uFFFD",
		"a\u202Eb":               "a\uFFFDb",
		"nul\x00bell\x07":        "nul\uFFFDbell\uFFFD",
		"\xff":                   "\uFFFD",
	} {
		if strings.HasPrefix(text, "Ω") { // what a report of impedance needs is all there
			want = text
		}
		if got := newAlphabet().legible(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

func TestMissingNamesCodePoints(t *testing.T) {
	a := newAlphabet()
	a.legible("b 😀 a 中 b 😀 Ω")
	if got, want := a.missing(), []string{"U+4E2D", "U+1F600"}; !reflect.DeepEqual(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// FuzzLegible states: what comes out is valid, within U+FFFF, in every face, and stays as it is.
func FuzzLegible(f *testing.F) {
	f.Add(hostileText)
	f.Add("e\u0301\u0301 \u2060_{")
	a := newAlphabet()
	f.Fuzz(func(t *testing.T, text string) {
		shown := a.legible(text)
		if !utf8.ValidString(shown) {
			t.Errorf("%q: %q is not valid", text, shown)
		}
		for _, r := range shown {
			if r > 0xFFFF || r != '\n' && r != guard && r != softHyphen && !a.has(r) {
				t.Errorf("%q: %U is shown", text, r)
			}
		}
		if again := a.legible(shown); again != shown {
			t.Errorf("%q: %q at first, %q again", text, shown, again)
		}
	})
}
