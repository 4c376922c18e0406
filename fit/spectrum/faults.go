package spectrum

import (
	"cmp"
	"fmt"
	"slices"
)

const (
	listedFaults = 50
	keptFaults   = 1_000 // beyond these they are only counted
)

// faults gathers what is wrong with one file.
type faults struct {
	kept    Errors
	dropped int
}

func (f *faults) add(e *Error) {
	if len(f.kept) == keptFaults {
		f.dropped++
		return
	}
	f.kept = append(f.kept, e)
}

func (f *faults) count() int { return len(f.kept) + f.dropped }

// err is an Errors of the first faults in order of place, or nil.
func (f *faults) err() error {
	slices.SortStableFunc(f.kept, byPlace)
	if more := f.count() - listedFaults; more > 0 {
		rest := &Error{File: f.kept[0].File, Message: fmt.Sprintf("%d more faults of this file are not listed", more)}
		return append(f.kept[:listedFaults:listedFaults], rest)
	}
	return f.kept.Err()
}

func byPlace(a, b *Error) int {
	return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
}
