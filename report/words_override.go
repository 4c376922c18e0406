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
		text, err := fs.ReadFile(folder, file)
		if err != nil {
			faults = append(faults, &spectrum.Error{File: path.Join(name, file), Message: err.Error()})
			continue
		}
		faults = append(faults, w.overrideFile(path.Join(name, file), string(text), defined)...)
	}
	return faults.Err()
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
		fault.Message = fmt.Sprintf("there is no block %q; known are %s", t.Name(), strings.Join(w.alike(t.Name()), ", "))
	case defined[t.Name()] != "":
		fault.Message = fmt.Sprintf("the block %q is already defined in %s", t.Name(), defined[t.Name()])
	default:
		if unknown := w.unknownTemplate(t); unknown != nil {
			return unknown
		}
		defined[t.Name()] = file
		w.foreign[t.Name()] = true
		template.Must(w.own.AddParseTree(t.Name(), t.Tree))
		return nil
	}
	return fault
}

// unknownTemplate finds a {{template "…"}} of a block that does not exist, which text/template would
// notice only when it writes.
func (w *Words) unknownTemplate(t *template.Template) (fault *spectrum.Error) {
	walk(t.Root, func(n parse.Node) {
		if call, ok := n.(*parse.TemplateNode); ok && fault == nil && w.blocks.Lookup(call.Name) == nil {
			fault = at(t.Tree, n)
			fault.Message = fmt.Sprintf("there is no block %q; known are %s", call.Name, strings.Join(w.alike(call.Name), ", "))
		}
	})
	return fault
}

// walk calls visit for every node of a list and of the lists within it.
func walk(list *parse.ListNode, visit func(parse.Node)) {
	if list == nil {
		return
	}
	for _, n := range list.Nodes {
		visit(n)
		switch n := n.(type) {
		case *parse.IfNode:
			walk(n.List, visit)
			walk(n.ElseList, visit)
		case *parse.RangeNode:
			walk(n.List, visit)
			walk(n.ElseList, visit)
		case *parse.WithNode:
			walk(n.List, visit)
			walk(n.ElseList, visit)
		}
	}
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

// alike are the known blocks of the same family, "verdict." of "verdict.pas", or all families.
func (w *Words) alike(name string) []string {
	family, _, _ := strings.Cut(name, ".")
	var same, families []string
	for _, t := range w.blocks.Templates() {
		head, _, dotted := strings.Cut(t.Name(), ".")
		switch {
		case t.Tree == nil || strings.HasSuffix(t.Name(), ".tmpl"):
		case dotted && head == family:
			same = append(same, t.Name())
		case dotted:
			families = append(families, head+".…")
		default:
			families = append(families, t.Name())
		}
	}
	if len(same) > 0 {
		families = same
	}
	slices.Sort(families)
	return slices.Compact(families)
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
	e := &spectrum.Error{File: m[1], Line: line, Message: m[4]}
	if m[3] != "" {
		column, _ := strconv.Atoi(m[3])
		e.Column = column + 1
	}
	return e
}

func executionError(err error) *spectrum.Error {
	var exec template.ExecError
	if errors.As(err, &exec) {
		return parseError(exec.Name, exec.Err)
	}
	return &spectrum.Error{Message: err.Error()}
}
