// Package matching divides cells into groups of equal size that are alike. The spread of a group is its largest range over the
// quantities. It knows cells as points alone.
package matching
