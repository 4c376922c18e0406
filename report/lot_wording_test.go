package report

import (
	"os"
	"strings"
	"testing"

	"ohmledger/health"
)

// No probability or share of a lot is written as nought, nor to digits that a tail does not have.
func TestTinySharesAreBounds(t *testing.T) {
	for language, want := range map[string][2]string{
		"en": {"an estimated less than 0.01\u00a0% of the lot", "probability less than 0.001)"},
		"de": {"Geschätzt weniger als 0,01\u00a0% des Loses", "Wahrscheinlichkeit unter 0,001)"},
	} {
		w, err := ReadWords(os.DirFS("../templates"), language, nil, "")
		if err != nil {
			t.Fatal(err)
		}
		quantity := health.Fact{Name: "quantity", Text: "ohmic_ohm", Unit: health.Word}
		for _, tiny := range []float64{0, 4.54e-12} {
			share := w.Phrase("reason.quantity-accepted", []health.Fact{quantity, {Name: "estimated", Value: tiny, Unit: health.PerCent}, {Name: "allowed", Value: 3.3, Unit: health.PerCent}})
			chance := w.Phrase("reason.sample-not-normal", []health.Fact{quantity, {Name: "p", Value: tiny, Unit: health.One}})
			if !strings.Contains(share, want[0]) || !strings.Contains(chance, want[1]) {
				t.Errorf("%s: %q, %q", language, share, chance)
			}
		}
		if got := w.Phrase("reason.sample-not-normal", []health.Fact{quantity, {Name: "p", Value: 0.005, Unit: health.One}}); !strings.Contains(got, "005") {
			t.Errorf("%s: %q", language, got)
		}
	}
}
