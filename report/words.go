package report

import (
	"fmt"
	"io/fs"
	"path"
	"strings"
	"sync"
	"text/template"

	"ohmledger/fit/spectrum"
	"ohmledger/report/notation"
)

// Words are a report's sentences: named blocks of text/template, from the files
// wording/<language>/*.tmpl of the templates, with a laboratory's own blocks in place of some.
type Words struct {
	Language string // "en", "de"

	blocks  *template.Template // as shipped
	own     *template.Template // the same with the laboratory's blocks in place
	foreign map[string]bool    // the blocks that are the laboratory's, or have one of these in them
	faults  *faults
}

// faults are what went wrong in a laboratory's blocks while a report was written; figures and sections
// may be written at the same time.
type faults struct {
	sync.Mutex
	errors spectrum.Errors
}

// loadWords reads the sentences of a language, then a laboratory's own from overrides, a folder that the
// user calls name; overrides may be nil.
func loadWords(templates fs.FS, language string, overrides fs.FS, name string) (*Words, error) {
	w := &Words{Language: language, faults: &faults{}, foreign: map[string]bool{}}
	w.blocks = template.New("").Funcs(w.functions()).Option("missingkey=error")
	files, err := fs.Glob(templates, path.Join("wording", language, "*.tmpl"))
	if err != nil || len(files) == 0 {
		return nil, noLanguage(templates, language)
	}
	if _, err := w.blocks.ParseFS(templates, files...); err != nil {
		return nil, fmt.Errorf("report: %w", err)
	}
	w.own = template.Must(w.blocks.Clone())
	if overrides == nil {
		return w, nil
	}
	if err := w.override(overrides, name); err != nil {
		return nil, err
	}
	return w, nil
}

// noLanguage says which languages there are instead.
func noLanguage(templates fs.FS, language string) error {
	folders, err := fs.ReadDir(templates, "wording")
	if err != nil {
		return fmt.Errorf("report: the templates hold no sentences: %w", err)
	}
	known := each(folders, func(f fs.DirEntry) string { return f.Name() })
	return spectrum.Errors{{File: "job.yaml", Message: fmt.Sprintf("language: there are no sentences in %q; there are in %s", language, strings.Join(known, ", "))}}
}

// functions that blocks may call beside those of text/template.
func (w *Words) functions() template.FuncMap {
	return template.FuncMap{
		"plural": plural,
		"list":   func(items []string) string { return enumerate(items, w.Say("and", nil)) },
	}
}

// plural chooses the word for n things: {{plural .Cells "cell" "cells"}}.
func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// enumerate writes "a, b and c".
func enumerate(items []string, and string) string {
	if len(items) < 2 {
		return strings.Join(items, "")
	}
	last := len(items) - 1
	return strings.Join(items[:last], ", ") + " " + and + " " + items[last]
}

// Say gives a block's text on one line. A block that does not exist, or a shipped one that cannot take
// the data, is a programmer's mistake and panics; a laboratory's block that cannot is replaced by the
// shipped one and reported by Err.
func (w *Words) Say(block string, data any) string {
	return strings.Join(w.Paragraphs(block, data), " ")
}

// Paragraphs gives a block's text as its paragraphs, which blank lines part.
func (w *Words) Paragraphs(block string, data any) []string {
	if w.foreign[block] {
		text, err := execute(w.own, block, data)
		if err == nil {
			return paragraphs(text)
		}
		w.faults.add(executionError(w.own.Lookup(block), err))
	}
	text, err := execute(w.blocks, block, data)
	if err != nil {
		panic(fmt.Sprintf("report: %v", err))
	}
	return paragraphs(text)
}

// Has reports whether there is such a block.
func (w *Words) Has(block string) bool { return w.blocks.Lookup(block) != nil }

// Notation is how the language writes numbers and dates.
func (w *Words) Notation() notation.Notation { return notation.NotationOf(w.Language) }

// Err gives what went wrong in a laboratory's own blocks since the words were loaded; whoever writes a
// report asks for it before the report is kept.
func (w *Words) Err() error {
	w.faults.Lock()
	defer w.faults.Unlock()
	return w.faults.errors.Err()
}

func (f *faults) add(e *spectrum.Error) {
	f.Lock()
	defer f.Unlock()
	for _, known := range f.errors {
		if *known == *e {
			return
		}
	}
	f.errors = append(f.errors, e)
}

// longestBlock is what a block may say, bytes: beyond it a laboratory's block has gone astray.
const longestBlock = 1 << 20

// bounded takes a block's text as far as that.
type bounded struct{ strings.Builder }

func (b *bounded) Write(p []byte) (int, error) {
	if b.Len()+len(p) > longestBlock {
		return 0, fmt.Errorf("the text grows beyond %d bytes", longestBlock)
	}
	return b.Builder.Write(p)
}

func execute(t *template.Template, block string, data any) (string, error) {
	var b bounded
	if err := t.ExecuteTemplate(&b, block, data); err != nil {
		return "", err
	}
	return b.String(), nil
}

// blanks are what separates words in a template; no-break spaces stay.
const blanks = " \t\r\n"

// paragraphs joins the lines of each paragraph and leaves out empty ones.
func paragraphs(text string) []string {
	var out []string
	var words []string
	flush := func() {
		if len(words) > 0 {
			out = append(out, strings.Join(words, " "))
			words = nil
		}
	}
	for _, line := range strings.Split(text, "\n") {
		fields := strings.FieldsFunc(line, func(r rune) bool { return strings.ContainsRune(blanks, r) })
		if len(fields) == 0 {
			flush()
		}
		words = append(words, fields...)
	}
	flush()
	return out
}
