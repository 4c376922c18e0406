package report

import (
	"maps"
	"slices"
	"strings"
	"text/template"
	"text/template/parse"
)

// given is what a block must be given, as far as its text tells: so that every block can be tried with what it takes.
type given struct {
	kind     givenKind
	asFact   map[string]*given // what of it a fact has too
	optional bool              // asked for by if or with
	words    []string          // that it is compared with
	fields   map[string]*given // by name; of a list: of its items
}

type givenKind int

const (
	anything givenKind = iota
	text
	whole
	fraction
	list
	group
)

// ofFacts are what a health.Fact has as sentences have it; others may have fields of these names too.
var ofFacts = []string{"Int", "Is", "Signed", "Size", "Uncertainty", "Value", "U", "String"}

func (s *given) field(name string) *given {
	if slices.Contains(ofFacts, name) {
		if s.asFact == nil {
			s.asFact = map[string]*given{}
		}
		if s.asFact[name] == nil {
			s.asFact[name] = &given{}
		}
		return s.asFact[name]
	}
	if s.kind == anything {
		s.kind = group
	}
	if s.fields == nil {
		s.fields = map[string]*given{}
	}
	if s.fields[name] == nil {
		s.fields[name] = &given{}
	}
	return s.fields[name]
}

// item is what a list is made of.
func (s *given) item() *given {
	s.kind = list
	item := s.field("item")
	s.kind = list
	return item
}

// blockReader follows a block's text.
type blockReader struct {
	blocks *template.Template
	inside []string // blocks that are being read
}

// blockScope is what . and the variables stand for.
type blockScope struct {
	dot       *given
	variables map[string]*given
}

func (r blockReader) givenTo(block string) *given {
	s := &given{}
	r.read(block, s)
	return s
}

func (r blockReader) read(block string, dot *given) {
	if t := r.blocks.Lookup(block); t != nil && !slices.Contains(r.inside, block) {
		r.inside = append(slices.Clone(r.inside), block)
		r.list(t.Root, blockScope{dot, map[string]*given{"$": dot}})
	}
}

func (r blockReader) list(l *parse.ListNode, in blockScope) {
	if l == nil {
		return
	}
	for _, n := range l.Nodes {
		switch n := n.(type) {
		case *parse.ActionNode:
			r.pipe(n.Pipe, in)
		case *parse.IfNode:
			r.branch(&n.BranchNode, in, func(s *given) blockScope { return in })
		case *parse.WithNode:
			r.branch(&n.BranchNode, in, func(s *given) blockScope { return blockScope{s, in.variables} })
		case *parse.RangeNode:
			r.branch(&n.BranchNode, in, func(s *given) blockScope {
				variables := maps.Clone(in.variables)
				for _, d := range n.Pipe.Decl {
					variables[d.Ident[0]] = s.item() // the last is the item; an index is never asked for more than its truth
				}
				return blockScope{s.item(), variables}
			})
		case *parse.TemplateNode:
			r.read(n.Name, r.pipe(n.Pipe, in))
		}
	}
}

func (r blockReader) branch(n *parse.BranchNode, in blockScope, inside func(*given) blockScope) {
	s := r.pipe(n.Pipe, in)
	s.optional = true
	r.list(n.List, inside(s))
	r.list(n.ElseList, in)
}

// pipe gives the given of what the last command is about.
func (r blockReader) pipe(p *parse.PipeNode, in blockScope) *given {
	s := &given{}
	if p != nil {
		for _, c := range p.Cmds {
			s = r.command(c, in)
		}
	}
	return s
}

// givenKinds are what functions make of their arguments.
var givenKinds = map[string]givenKind{"plural": whole, "printf": whole, "list": list}

func (r blockReader) command(c *parse.CommandNode, in blockScope) *given {
	function, called := c.Args[0].(*parse.IdentifierNode)
	shapes := make([]*given, len(c.Args))
	for i, a := range c.Args {
		shapes[i] = r.argument(a, in)
	}
	if !called {
		r.compared(c, in)
		return shapes[0]
	}
	for i, s := range shapes[1:] {
		if s.kind == anything && isValue(c.Args[i+1]) {
			s.kind = givenKinds[function.Ident]
		}
	}
	switch function.Ident {
	case "eq", "ne", "lt", "gt", "le", "ge":
		r.equal(c, shapes)
	case "and", "or":
		for _, s := range shapes[1:] {
			s.optional = true
		}
	}
	return &given{}
}

func isValue(n parse.Node) bool {
	switch n.(type) {
	case *parse.DotNode, *parse.FieldNode, *parse.VariableNode, *parse.ChainNode:
		return true
	}
	return false
}

// compared notes the words of {{.x.Is "word"}}.
func (r blockReader) compared(c *parse.CommandNode, in blockScope) {
	f, ok := c.Args[0].(*parse.FieldNode)
	if !ok || f.Ident[len(f.Ident)-1] != "Is" || len(c.Args) < 2 {
		return
	}
	s := in.dot
	for _, name := range f.Ident[:len(f.Ident)-1] {
		s = s.field(name)
	}
	if word, ok := c.Args[1].(*parse.StringNode); ok {
		s.words = append(s.words, word.Text)
	}
}

// equal notes what values are compared with.
func (r blockReader) equal(c *parse.CommandNode, shapes []*given) {
	for i, s := range shapes[1:] {
		if !isValue(c.Args[i+1]) {
			continue
		}
		for j, a := range c.Args[1:] {
			switch a := a.(type) {
			case *parse.StringNode:
				s.kind, s.words = text, append(s.words, a.Text)
			case *parse.NumberNode:
				s.kind = whole
				if strings.Contains(a.Text, ".") {
					s.kind = fraction
				}
			default: // both are values: of one kind
				if j != i && s.kind == anything {
					s.kind = max(shapes[1+j].kind, text)
				}
			}
		}
	}
}

func (r blockReader) argument(n parse.Node, in blockScope) *given {
	switch n := n.(type) {
	case *parse.DotNode:
		return in.dot
	case *parse.FieldNode:
		return along(in.dot, n.Ident)
	case *parse.VariableNode:
		if s := in.variables[n.Ident[0]]; s != nil {
			return along(s, n.Ident[1:])
		}
	case *parse.ChainNode:
		return along(r.argument(n.Node, in), n.Field)
	case *parse.PipeNode:
		return r.pipe(n, in)
	}
	return &given{}
}

func along(s *given, names []string) *given {
	for _, name := range names {
		s = s.field(name)
	}
	return s
}
