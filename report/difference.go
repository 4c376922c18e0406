package report

import (
	"fmt"
	"math"
	"strconv"
)

// Difference is one place at which a file of a report and what it is held against differ.
type Difference struct {
	Place           string // "cells[A-001].verdict", "page 3", "Summary!B3"
	Found, Expected string // as written there; blank where there is nothing
}

// Differences gathers those of two versions of a file.
type Differences struct {
	List     []Difference // the first mostDifferences
	More     int          // those beyond
	Rounding int          // numbers that differ by no more than machines do
	Largest  float64      // relative difference among these
}

// mostDifferences are kept: who has more needs no longer list.
const mostDifferences = 1000

// Equal says that nothing differs beyond rounding.
func (d *Differences) Equal() bool { return len(d.List) == 0 }

// Count is how many places differ.
func (d *Differences) Count() int { return len(d.List) + d.More }

// Add notes a place that differs.
func (d *Differences) Add(place, found, expected string) {
	if len(d.List) == mostDifferences {
		d.More++
		return
	}
	d.List = append(d.List, Difference{place, found, expected})
}

// MachineRounding is how far numbers may differ, relative to the larger, that two machines compute from the same data:
// processors that fuse multiplication and addition round otherwise, and the fit stops a little elsewhere. It lies far
// below any uncertainty that a report states.
const MachineRounding = 1e-6

// Hold compares what stands in a place. Numbers may differ by the rounding of machines.
func (d *Differences) Hold(place, found, expected string) {
	if found == expected {
		return
	}
	a, errFound := strconv.ParseFloat(found, 64)
	b, errExpected := strconv.ParseFloat(expected, 64)
	apart := math.Abs(a-b) / max(math.Abs(a), math.Abs(b))
	if errFound != nil || errExpected != nil || !(apart <= MachineRounding) {
		d.Add(place, found, expected)
		return
	}
	d.Rounding++
	d.Largest = max(d.Largest, apart)
}

// HoldAll compares two lists of texts, one after the other.
func (d *Differences) HoldAll(place string, found, expected []string) {
	for i := range max(len(found), len(expected)) {
		var a, b string
		if i < len(found) {
			a = found[i]
		}
		if i < len(expected) {
			b = expected[i]
		}
		d.Hold(fmt.Sprintf("%s[%d]", place, i+1), a, b)
	}
}
