package health

import (
	"fmt"
	"regexp"
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

var wording = sync.OnceValues(func() (*template.Template, error) { return wordingOf("en") })

// wordingOf reads the shipped words of a language.
func wordingOf(language string) (*template.Template, error) {
	plural := func(n int, one, many string) string {
		if n == 1 {
			return one
		}
		return many
	}
	t := template.New("").Funcs(template.FuncMap{"plural": plural}).Option("missingkey=error")
	folder := "../templates/wording/" + language + "/"
	return t.ParseFiles(folder+"findings.tmpl", folder+"judgement.tmpl", folder+"fit.tmpl", folder+"lot.tmpl", folder+"trend.tmpl")
}

// english is the shipped wording.
func english(t testing.TB) Phrase {
	t.Helper()
	blocks, err := wording()
	if err != nil {
		t.Fatal(err)
	}
	return spokenBy(t, blocks)
}

func spokenBy(t testing.TB, blocks *template.Template) Phrase {
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
	if testing.Short() {
		t.Skip("numbers alone: nothing runs side by side that does not in other tests")
	}
	found := map[string]Finding{}
	for _, f := range plantedFindings(t) {
		found[f.Code] = f
	}
	for _, code := range FindingCodes() {
		f, ok := found[code]
		if !ok || strings.Count(f.Message, ".") < 3 || !strings.HasSuffix(f.Message, ".") || !strings.HasSuffix(f.Advice, ".") {
			t.Errorf("%s: %q, %q", code, f.Message, f.Advice)
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

// No part of a finding leaves a gap where a fact should stand, in any language, whichever way its words are asked for.
func TestNoFindingHasAGap(t *testing.T) {
	if testing.Short() {
		t.Skip("numbers alone: nothing runs side by side that does not in other tests")
	}
	gap := regexp.MustCompile(`[:;,(] ?[.;,)]|^[ .]|  | \.|NaN|<no value>|%!|: *$`)
	findings := plantedFindings(t)
	for _, language := range []string{"en", "de"} {
		blocks, err := wordingOf(language)
		if err != nil {
			t.Fatal(err)
		}
		say := spokenBy(t, blocks)
		for _, f := range findings {
			for _, part := range []string{"seen", "size", "likely", "do"} {
				if text := say.Part(f, part); gap.MatchString(text) || !strings.HasSuffix(text, ".") {
					t.Errorf("%s: %s %s: %q", language, f.Code, part, text)
				}
			}
			if gap.MatchString(say.reason(f.statement())) {
				t.Errorf("%s: as a reason: %q", language, say.reason(f.statement()))
			}
		}
	}
}

// plantedFindings are those of all faults that tests plant, of every size that is bad.
func plantedFindings(t *testing.T) (list []Finding) {
	keep := func(q Quality) { list = append(list, q.Findings...) }
	for _, p := range plants {
		m, j, f := faultless(1)
		p.in(&m, j, f)
		keep(inspected(grounds{job: j, say: english(t)}, m, f))
	}
	for _, f := range faults {
		for _, size := range []float64{f.bad, f.sizes[len(f.sizes)-1]} {
			p := sound(1)
			f.plant(p, size)
			keep(Check(Evidence{Job: p.job, Phrase: english(t)}, Input{Row: &p.row, Spectrum: p.spectrum}).Quality)
		}
	}
	for _, edit := range absurdities {
		p := sound(3)
		edit(p)
		keep(Check(Evidence{Job: p.job, Phrase: english(t)}, Input{Row: &p.row, Spectrum: p.spectrum}).Quality)
	}
	for _, f := range histories {
		b := course(1, f.ageing)
		f.plant(b, f.bad)
		for _, m := range b.assess(t).Cells.At(0).Measurements {
			keep(m.Quality)
		}
	}
	return list
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
