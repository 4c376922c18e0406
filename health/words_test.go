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
