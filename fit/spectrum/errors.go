package spectrum

import (
	"fmt"
	"strings"
)

// Error is a fault of an input at its place.
type Error struct {
	File         string // as the user named it
	Line, Column int    // from 1; 0 where the fault has no line or column
	Message      string // what was found and what is allowed
	Remedy       string // the line to add or the thing to do; may be empty
}

// Error gives file:line:column: message, with the remedy on a line of its own.
func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString(e.File)
	if e.Line > 0 {
		fmt.Fprintf(&b, ":%d", e.Line)
		if e.Column > 0 {
			fmt.Fprintf(&b, ":%d", e.Column)
		}
	}
	fmt.Fprintf(&b, ": %s", e.Message)
	if e.Remedy != "" {
		fmt.Fprintf(&b, "\n    %s", e.Remedy)
	}
	return b.String()
}

// Errors are all the faults found in one input, in the order of their places.
type Errors []*Error

// Error gives one fault a line.
func (es Errors) Error() string {
	lines := make([]string, len(es))
	for i, e := range es {
		lines[i] = e.Error()
	}
	return strings.Join(lines, "\n")
}

// Err returns nil where there are no faults, so that an empty list never becomes a non-nil error.
func (es Errors) Err() error {
	if len(es) == 0 {
		return nil
	}
	return es
}
