package pdf

import (
	"reflect"
	"testing"
)

func TestRuns(t *testing.T) {
	for text, want := range map[string][]piece{
		"R_{ct} is":    {{"R", "R", onLine}, {"_{ct}", "ct", lowered}, {" is", " is", onLine}},
		"(x)^{α}^_{f}": {{"(x)", "(x)", onLine}, {"^{α}", "α", raised}, {"^_{f}", "f", loweredInRaised}},
		"_{two words}": {{"_{two words}", "_{two words}", onLine}}, // no mark: it could not be broken
		"_{open":       {{"_{open", "_{open", onLine}},
		"{a} } _ ^":    {{"{a} } _ ^", "{a} } _ ^", onLine}},
	} {
		if got := runs(text); !reflect.DeepEqual(got, want) {
			t.Errorf("%q: %+v, want %+v", text, got, want)
		}
	}
}

// FuzzLiterally states: text from outside shows as it is, marks and all.
func FuzzLiterally(f *testing.F) {
	f.Add("R_{ct} ^{2} ^_{f} _{_{a}}")
	f.Add("_^_{^{")
	f.Add("_\u200B{ct}")
	f.Fuzz(func(t *testing.T, text string) {
		a := newAlphabet()
		want := unmarked(a.legible(text))
		got := ""
		for _, r := range runs(a.legible(a.literally(text))) {
			if r.level != onLine {
				t.Errorf("%q: %q is a mark", text, r.source)
			}
			got += r.text
		}
		if got != want {
			t.Errorf("%q shows as %q", text, got)
		}
	})
}
