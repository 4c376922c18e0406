package fit

import (
	"regexp"
	"testing"
)

// kebab is what codes look like to machines.
var kebab = regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`)

// complete reports whether a statement has a code, its sentence, and facts that have a name and say something.
func complete(s Statement) bool {
	for _, f := range s.Facts {
		if f.Name == "" || f.Within != nil && !complete(*f.Within) || f.Within == nil && f.Text == "" && !(f.Value-f.Value == 0) {
			return false
		}
	}
	return kebab.MatchString(s.Code) && s.Text != ""
}

// TestWhatAFitSaysHasCodeAndWords: of sound spectra, of such as show no arc, and of such as cannot be fitted.
func TestWhatAFitSaysHasCodeAndWords(t *testing.T) {
	two := sweep{1e4, 0.01, 60, 0.001}.measured(cellVector(), seeded(21))
	one := sweep{1e4, 0.01, 60, 0.001}.measured(singleArcVector(), seeded(22))
	short := sweep{1e4, 1e3, 5, 0.001}.measured(cellVector(), seeded(23))
	flat := sweep{1e4, 0.01, 30, 0.001}.measured(Parameters{Ohmic: 0.02, LeadExponent: 1, ChargeTransfer: 1e-12, ChargeTransferTimeConstant: 1e-12,
		ChargeTransferExponent: 1, DiffusionExponent: 0.5}, seeded(24))
	histories := [][]Measured{{two}, {one}, {one, short}, {flat}, {short}}
	for _, history := range histories {
		h := Cell(history)
		if h.Because.Text != h.Choice || h.Choice != "" && !complete(h.Because) {
			t.Errorf("choice: %+v", h.Because)
		}
		for i, r := range h.Results {
			for e, reason := range r.Unresolved {
				if s := r.Because[e]; !complete(s) || s.Text != reason {
					t.Errorf("spectrum %d, %v: %+v", i, e, s)
				}
			}
			for _, x := range r.Excluded {
				if !complete(x.Because) || x.Because.Text != x.Reason {
					t.Errorf("spectrum %d: %+v", i, x)
				}
			}
			for _, d := range r.Doubts {
				if !complete(Statement{d.Code, d.Facts, d.Text}) {
					t.Errorf("spectrum %d: %+v", i, d)
				}
			}
		}
	}
	for _, s := range []Status{NotRun, Converged, TooManySteps, Stalled, TooFewPoints, NotComputable} {
		if !kebab.MatchString(s.Code()) {
			t.Errorf("%v: %q", s, s.Code())
		}
	}
}
