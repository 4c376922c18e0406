package job

import "slices"

// node is what stands at one place of job.yaml.
type node struct {
	shape        shape
	line, column int     // from 1
	text         string  // of a scalar, as written and without its quotes
	quoted       bool    // quotes or a block of text: never a number
	entries      []entry // of a group, in order
	items        []*node // of a list
}

// entry is one key of a group with what stands under it.
type entry struct{ name, value *node }

type shape int

const (
	blank shape = iota // nothing, ~ or null
	scalar
	group
	list
)

// under is what stands under a key of a group, or a blank at the group's own place.
func (n *node) under(name string) *node {
	for _, e := range n.entries {
		if e.name.text == name {
			return e.value
		}
	}
	return &node{line: n.line, column: n.column}
}

// empty says whether nothing is stated here: a blank, an empty text or list, or a group of such.
func (n *node) empty() bool {
	switch n.shape {
	case scalar:
		return n.text == ""
	case group:
		return !slices.ContainsFunc(n.entries, func(e entry) bool { return !e.value.empty() })
	case list:
		return len(n.items) == 0
	default:
		return true
	}
}

// found names what stands here, for a message.
func (n *node) found() string {
	switch n.shape {
	case scalar:
		return quote(n.text)
	case group:
		return "a group of keys"
	case list:
		return "a list"
	default:
		return "nothing"
	}
}
