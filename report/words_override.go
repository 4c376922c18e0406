package report

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"text/template"
	"text/template/parse"

	"ohmledger/fit/spectrum"
)

// override puts a laboratory's blocks, from all *.tmpl of a folder, in place of the shipped ones.
// Faults name the files as lying in the folder called name.
func (w *Words) override(folder fs.FS, name string) error {
	files, err := fs.Glob(folder, "*.tmpl")
	if err != nil {
		return err
	}
	var faults spectrum.Errors
	defined := map[string]string{}
	for _, file := range files {
		text, err := readSentences(folder, file)
		if err != nil {
			faults = append(faults, &spectrum.Error{File: path.Join(name, file), Message: err.Error()})
			continue
		}
		faults = append(faults, w.overrideFile(path.Join(name, file), string(text), defined)...)
	}
	w.spread()
	if len(faults) == 0 {
		faults = w.verdictsAlike()
	}
	return faults.Err()
}

// spread counts as the laboratory's what has one of its blocks in it, however deep.
func (w *Words) spread() {
	for changed := true; changed; {
		changed = false
		for _, t := range w.own.Templates() {
			if t.Tree == nil || w.foreign[t.Name()] {
				continue
			}
			visit(t.Root, func(n parse.Node) {
				if call, ok := n.(*parse.TemplateNode); ok && w.foreign[call.Name] {
					w.foreign[t.Name()], changed = true, true
				}
			})
		}
	}
}

// overrideFile takes over the blocks of one file; defined holds where each block was seen before.
func (w *Words) overrideFile(file, text string, defined map[string]string) spectrum.Errors {
	set, err := template.New(file).Funcs(w.functions()).Parse(text)
	if err != nil {
		return spectrum.Errors{parseError(file, err)}
	}
	var faults spectrum.Errors
	for _, t := range inOrder(set) {
		if fault := w.overrideBlock(file, t, defined); fault != nil {
			faults = append(faults, fault)
		}
	}
	return faults
}

// overrideBlock checks one block of a file and takes it over.
func (w *Words) overrideBlock(file string, t *template.Template, defined map[string]string) *spectrum.Error {
	fault := at(t.Tree, t.Root)
	switch shipped := w.blocks.Lookup(t.Name()); {
	case t.Name() == file:
		if parse.IsEmptyTree(t.Root) {
			return nil
		}
		fault.Message = "text outside of a block; a file of sentences holds only {{define \"…\"}} … {{end}}"
	case shipped == nil:
		fault.Message = w.noBlock(t.Name())
	case defined[t.Name()] != "":
		fault.Message = fmt.Sprintf("the block %q is already defined in %s", t.Name(), defined[t.Name()])
	default:
		if unknown := w.unknownIn(t, shipped); unknown != nil {
			return unknown
		}
		defined[t.Name()] = file
		w.foreign[t.Name()] = true
		template.Must(w.own.AddParseTree(t.Name(), t.Tree))
		return nil
	}
	return fault
}

// unknownIn finds what text/template would notice only when it writes, perhaps years later: a block that does
// not exist, a value that the shipped block does not have.
func (w *Words) unknownIn(t, shipped *template.Template) (fault *spectrum.Error) {
	known := fields(shipped.Root)
	visit(t.Root, func(n parse.Node) {
		message := ""
		switch n := n.(type) {
		case *parse.TemplateNode:
			if w.blocks.Lookup(n.Name) == nil {
				message = w.noBlock(n.Name)
			}
		default:
			for _, name := range names(n) {
				if !slices.Contains(known, name) {
					message = fmt.Sprintf("the block %q has no value .%s; it has %s", t.Name(), name, dotted(known))
				}
			}
		}
		if message != "" && fault == nil {
			fault = at(t.Tree, n)
			fault.Message = message
		}
	})
	return fault
}

// fields are the names of all values that a block uses.
func fields(list *parse.ListNode) (known []string) {
	visit(list, func(n parse.Node) { known = append(known, names(n)...) })
	slices.Sort(known)
	return slices.Compact(known)
}

func dotted(names []string) string {
	if len(names) == 0 {
		return "none but {{.}}"
	}
	return "." + strings.Join(names, " .")
}

// noBlock says that a block does not exist, and which ones like it do.
func (w *Words) noBlock(name string) string {
	all := w.names()
	if nearest := spectrum.Nearest(name, all); nearest != "" {
		return fmt.Sprintf("there is no block %q; the nearest known is %q", name, nearest)
	}
	return fmt.Sprintf("there is no block %q; known are %s", name, strings.Join(families(all), ", "))
}

// names of all shipped blocks, in order.
func (w *Words) names() (all []string) {
	for _, t := range w.blocks.Templates() {
		if t.Tree != nil && !strings.HasSuffix(t.Name(), ".tmpl") {
			all = append(all, t.Name())
		}
	}
	slices.Sort(all)
	return all
}

// families are the first words of names: "verdict.…" for all that begin so.
func families(all []string) (heads []string) {
	for _, name := range all {
		head, _, more := strings.Cut(name, ".")
		if more {
			head += ".…"
		}
		heads = append(heads, head)
	}
	return slices.Compact(heads)
}

// inOrder lists the templates of a file in the order of their places.
func inOrder(set *template.Template) []*template.Template {
	var list []*template.Template
	for _, t := range set.Templates() {
		if t.Tree != nil {
			list = append(list, t)
		}
	}
	slices.SortFunc(list, func(a, b *template.Template) int { return cmp.Compare(a.Root.Position(), b.Root.Position()) })
	return list
}

// at places a fault at a node of a template.
func at(tree *parse.Tree, n parse.Node) *spectrum.Error {
	location, _ := tree.ErrorContext(n)
	parts := strings.Split(location, ":")
	last := len(parts) - 1
	line, _ := strconv.Atoi(parts[last-1])
	column, _ := strconv.Atoi(parts[last])
	return &spectrum.Error{File: strings.Join(parts[:last-1], ":"), Line: line, Column: column + 1}
}

// templatePlace is how text/template opens its messages: "template: file:line:column: …", the column
// counted from 0 and missing in errors of parsing.
var templatePlace = regexp.MustCompile(`^template: (.*?):(\d+):(?:(\d+):)? (.*)$`)

func parseError(file string, err error) *spectrum.Error {
	m := templatePlace.FindStringSubmatch(err.Error())
	if m == nil {
		return &spectrum.Error{File: file, Message: err.Error()}
	}
	line, _ := strconv.Atoi(m[2])
	e := &spectrum.Error{File: m[1], Line: line, Message: plainly(m[4])}
	if m[3] != "" {
		column, _ := strconv.Atoi(m[3])
		e.Column = column + 1
	}
	return e
}

// slips are what text/template says of faults that people make, in words they can act on.
var slips = []struct{ template, plainly string }{
	{"unexpected EOF", "the file ends within a block; {{end}} or a closing }} is missing"},
	{"unclosed action", "a closing }} is missing on this line"},
	{"exceeded maximum template depth", "the block calls itself without end"},
}

// unknownFunction is what text/template says of a word that is no function.
var unknownFunction = regexp.MustCompile(`^function "(.*)" not defined$`)

func plainly(message string) string {
	if m := unknownFunction.FindStringSubmatch(message); m != nil {
		return fmt.Sprintf("there is no function %q; blocks may use if, range, with, template, eq, ne, lt, gt, and, or, not, len, index, printf, plural and list, and a text stands in quotes", m[1])
	}
	for _, s := range slips {
		if strings.Contains(message, s.template) {
			return s.plainly
		}
	}
	return message
}

// executionError places what went wrong when a block was said.
func executionError(block *template.Template, err error) *spectrum.Error {
	var exec template.ExecError
	if errors.As(err, &exec) {
		return parseError(exec.Name, exec.Err)
	}
	fault := at(block.Tree, block.Root)
	fault.Message = fmt.Sprintf("the block %q cannot be said: %v", block.Name(), err)
	return fault
}
