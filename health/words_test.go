package health

import (
	"fmt"
	"strings"
	"sync"
	"testing"
	"text/template"
)

// spoken is a fact as these tests print it; reports have their own way with numbers.
type spoken struct{ Fact }

func (s spoken) String() string {
	switch {
	case s.Unit == Word && s.At.IsZero():
		return s.Text
	case !s.At.IsZero():
		return day(s.At)
	case s.Unit == Count || s.Unit == One:
		return fmt.Sprintf("%.4g", s.Value)
	}
	return fmt.Sprintf("%.4g %s", s.Value, s.Unit)
}

func (s spoken) Signed() string      { return fmt.Sprintf("%+.4g %s", s.Value, s.Unit) }
func (s spoken) Size() string        { return strings.TrimLeft(s.String(), "-") }
func (s spoken) Uncertainty() string { return fmt.Sprintf("%.2g %s", s.U, s.Unit) }
func (s spoken) Is(word string) bool { return s.Text == word }
func (s spoken) Int() int            { return int(s.Value) }

var wording = sync.OnceValues(func() (*template.Template, error) {
	plural := func(n int, one, many string) string {
		if n == 1 {
			return one
		}
		return many
	}
	t := template.New("").Funcs(template.FuncMap{"plural": plural}).Option("missingkey=error")
	return t.ParseFiles("../templates/wording/en/findings.tmpl", "../templates/wording/en/judgement.tmpl", "../templates/wording/en/fit.tmpl",
		"../templates/wording/en/lot.tmpl", "../templates/wording/en/trend.tmpl")
})

// english is the shipped wording.
func english(t testing.TB) Phrase {
	t.Helper()
	blocks, err := wording()
	if err != nil {
		t.Fatal(err)
	}
	return func(block string, facts []Fact) string {
		data := map[string]spoken{}
		for _, f := range facts {
			data[f.Name] = spoken{f}
		}
		var b strings.Builder
		if err := blocks.ExecuteTemplate(&b, block, data); err != nil {
			t.Errorf("%s: %v", block, err)
		}
		return strings.Join(strings.Fields(b.String()), " ")
	}
}

// Every finding that there can be says what was seen, how big, what it most likely is and what to do, each in a sentence, with the
// facts that it has.
func TestEveryFindingHasItsWords(t *testing.T) {
	found := map[string]Finding{}
	keep := func(q Quality) {
		for _, f := range q.Findings {
			found[f.Code] = f
		}
	}
	for _, p := range plants {
		m, j, f := faultless(1)
		p.in(&m, j, f)
		keep(inspected(grounds{job: j, say: english(t)}, m, f))
	}
	for _, f := range faults {
		p := sound(1)
		f.plant(p, f.bad)
		keep(Check(Evidence{Job: p.job, Phrase: english(t)}, Input{Row: p.row, Spectrum: p.spectrum}).Quality)
	}
	for _, f := range histories {
		b := course(1, f.ageing)
		f.plant(b, f.bad)
		for _, m := range b.assess(t).Cells[0].Measurements {
			keep(m.Quality)
		}
	}
	for _, code := range FindingCodes() {
		f, ok := found[code]
		if !ok || strings.Count(f.Message, ".") < 3 || !strings.HasSuffix(f.Message, ".") || !strings.HasSuffix(f.Advice, ".") {
			t.Errorf("%s: %q, %q", code, f.Message, f.Advice)
		}
		if strings.Contains(f.Message+f.Advice, "NaN") || strings.Contains(f.Message, "  ") {
			t.Errorf("%s: %q", code, f.Message)
		}
		names := map[string]bool{}
		for _, fact := range f.Facts {
			if names[fact.Name] || fact.Name == "" || fact.Key() == "" {
				t.Errorf("%s: fact %+v", code, fact)
			}
			names[fact.Name] = true
		}
	}
}

// Without words a finding is what a machine would read.
func TestWithoutWords(t *testing.T) {
	m, j, f := faultless(1)
	m.Row.Sensing = twoWire
	q := inspected(grounds{job: j}, m, f)
	if got := q.Findings[0]; !strings.HasPrefix(got.Message, "finding.two-wire-sensing impedance_ohm 0.0") || got.Advice != "" {
		t.Errorf("%+v", got)
	}
	at := moment("on", row("A", 0, 25).MeasuredAt)
	if got := Phrase(nil).reason(because("a", within("b", because("c", number("d", 2, Henry))), at)); got != "reason.a b reason.c d_h 2, on 2024-03-01T00:00:00Z" {
		t.Errorf("%q", got)
	}
}
