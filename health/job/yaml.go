package job

import (
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

// parse reads the YAML text of job.yaml. What is no plain tree of keys, lists and values is a fault; then there is no node.
func (r *reading) parse(text string) (n *node) {
	defer func() {
		// The library indexes into what the text claims; text that it cannot bear must not end the program.
		if p := recover(); p != nil {
			r.faultAt(0, 0, "begin anew from the starter that `ohmledger new` writes", "no YAML that can be read (%v)", p)
			n = nil
		}
	}()
	text = lineEnds.Replace(strings.TrimPrefix(text, "\ufeff"))
	if !r.printable(text) {
		return nil
	}
	tokens := lexer.Tokenize(text)
	if !r.plain(tokens) {
		return nil
	}
	// Doubled keys are found below, all of them and not only the first.
	file, err := parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		r.syntax(err)
		return nil
	}
	if len(file.Docs) == 0 || file.Docs[0].Body == nil {
		return &node{line: 1, column: 1}
	}
	return r.tree(file.Docs[0].Body)
}

var lineEnds = strings.NewReplacer("\r\n", "\n", "\r", "\n")

// tree turns the library's nodes into ours.
func (r *reading) tree(from ast.Node) *node {
	at := from.GetToken()
	n := &node{line: at.Position.Line, column: at.Position.Column}
	switch from := from.(type) {
	case *ast.NullNode:
	case *ast.SequenceNode:
		n.shape = list
		for _, item := range from.Values {
			n.items = append(n.items, r.tree(item))
		}
	case ast.MapNode:
		n.shape = group
		r.entries(n, from)
	case *ast.LiteralNode:
		n.shape, n.quoted, n.text = scalar, true, strings.TrimRight(from.Value.Value, "\n")
	case *ast.StringNode:
		n.shape, n.quoted, n.text = scalar, at.Type != token.StringType, from.Value
	default:
		n.shape, n.text = scalar, at.Value
	}
	return n
}

// entries fills a group; a key that stands twice counts once.
func (r *reading) entries(n *node, from ast.MapNode) {
	first := map[string]*node{}
	for each := from.MapRange(); each.Next(); {
		name := r.tree(each.Key())
		if len(n.entries) == 0 {
			n.line, n.column = name.line, name.column
		}
		if earlier, doubled := first[name.text]; doubled && name.shape == scalar {
			r.fault(name, "remove one of the two", "%s stands twice, first in line %d", quote(name.text), earlier.line)
			continue
		}
		if name.shape != scalar {
			r.fault(name, "write it as key: value", "%s stands where a key is needed", name.found())
			continue
		}
		first[name.text] = name
		n.entries = append(n.entries, entry{name, r.tree(each.Value())})
	}
}
