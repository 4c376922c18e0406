package spectrum

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
)

const fewestFrequencies = 3

// build sorts the points and notes what reading had to settle.
func (r *reader) build(l layout, points []point) *Spectrum {
	s := &Spectrum{
		File:      r.table.File,
		Frequency: make([]float64, len(points)),
		Impedance: make([]complex128, len(points)),
		Line:      make([]int, len(points)),
	}
	r.noteMapping(s, l)
	noteDisorder(s, points)
	slices.SortStableFunc(points, func(a, b point) int { return cmp.Compare(b.frequency, a.frequency) })
	for i, p := range points {
		s.Frequency[i], s.Impedance[i], s.Line[i] = p.frequency, p.impedance, p.row.Line
	}
	if distinct := len(points) - noteDoubled(s); distinct < fewestFrequencies && r.faults.count() == 0 {
		r.faults.add(r.table.Fault(Cell{}, "%d points at %d frequencies; at least %d frequencies are needed", len(points), distinct, fewestFrequencies))
	}
	return s
}

func (s *Spectrum) note(kind NoteKind, line int, format string, arguments ...any) {
	s.Notes = append(s.Notes, Note{Kind: kind, Line: line, Text: fmt.Sprintf(format, arguments...)})
}

// noteMapping tells what came from job.yaml.
func (r *reader) noteMapping(s *Spectrum, l layout) {
	used := Columns{ImaginarySign: r.mapping.ImaginarySign}
	for _, c := range l.columns() {
		if c.mapped {
			*used.heading(c.quantity) = *r.mapping.heading(c.quantity)
		}
		if isImpedance(c.quantity) && !c.unit.known() {
			used.Unit = r.mapping.Unit
		}
	}
	if used != (Columns{}) {
		s.note(Mapped, 0, "Read as job.yaml says: %v.", used)
	}
	if r.foreign {
		s.note(Mapped, 0, "No heading that job.yaml's columns name stands in this file; it was read by its own headings.")
	}
}

// noteDisorder tells where the points, as they stand in the file, leave the direction they set out in.
func noteDisorder(s *Spectrum, points []point) {
	direction := 0
	for i := 1; i < len(points); i++ {
		step := cmp.Compare(points[i].frequency, points[i-1].frequency)
		if step*direction < 0 {
			s.note(OutOfOrder, points[i].row.Line, "The points are not in order of frequency; the first out of order is %s Hz.",
				strconv.FormatFloat(points[i].frequency, 'g', -1, 64))
			return
		}
		direction = cmp.Or(step, direction)
	}
}

// noteDoubled tells of frequencies that stand more than once, and gives how many points are repeats.
func noteDoubled(s *Spectrum) int {
	repeats, first := 0, 0
	for i := 1; i < len(s.Frequency); i++ {
		if s.Frequency[i] == s.Frequency[i-1] {
			if repeats == 0 || s.Line[i] < s.Line[first] {
				first = i
			}
			repeats++
		}
	}
	if repeats > 0 {
		s.note(Doubled, s.Line[first], "Points at a frequency that stands before: %d; the first of them is at %s Hz.",
			repeats, strconv.FormatFloat(s.Frequency[first], 'g', -1, 64))
	}
	return repeats
}
