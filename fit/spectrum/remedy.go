package spectrum

import (
	"slices"
	"strings"
)

// err gives all faults, with the last of those that job.yaml mends the one line that mends them.
func (r *reader) err() error {
	if len(r.untold) > 0 {
		last := slices.MaxFunc(r.untold, byPlace)
		last.Remedy = strings.Join(r.wayOut(), "\n    ")
	}
	return r.faults.err()
}

// wayOut is the line that job.yaml needs, and what to do where it would not hold for the job's other files: columns hold for all.
func (r *reader) wayOut() (lines []string) {
	if r.foreign && r.remedy.hasHeadings() {
		return []string{"job.yaml's columns hold for all files and name the headings of others: rename this file's to frequency_hz, z_real_ohm, z_imag_ohm"}
	}
	needed := "job.yaml needs:  " + r.remedy.String()
	if r.remedy.Unit != r.mapping.Unit {
		needed += "   # or mohm"
	}
	lines = append(lines, needed)
	if r.remedy.Unit != r.mapping.Unit {
		lines = append(lines, "where the job's files differ in unit, write it into the headings of each instead, as Zre (mohm), Zim (mohm)")
	}
	if r.remedy.ImaginarySign != r.mapping.ImaginarySign {
		lines = append(lines, "where the job's other files are right as they are, mark this file's heading instead, as "+r.marked)
	}
	if r.mapping.hasHeadings() && r.remedy.withoutUnitAndSign() != r.mapping.withoutUnitAndSign() {
		lines = append(lines, "where the job's other files have the headings that it names now, rename those of this file instead")
	}
	if strings.Count(needed, blankHeading) == 3 {
		lines = append(lines, "where the header row stands further down, put # before each line above it instead")
	}
	return lines
}

// marked is how a heading of the imaginary part or the phase says that the column has the other sign: with a minus before it, or
// without.
func (c *column) marked() string {
	text := plainSigns.Replace(c.header.Text)
	other := "-" + text
	if c.negative {
		other = strings.TrimSpace(strings.TrimLeft(text, "- "))
	}
	if h, ok := parseHeading(other); ok && h.quantity == c.quantity && h.negative != c.negative && (h.unit == c.unit || !c.unit.known()) {
		return other
	}
	name, unit := "Zim", "ohm"
	if c.quantity == phase {
		name, unit = "phase", "deg"
	}
	if !c.negative {
		name = "-" + name
	}
	if c.unit.known() && c.unitText != "" {
		unit = c.unitText
	}
	return name + " (" + unit + ")"
}
