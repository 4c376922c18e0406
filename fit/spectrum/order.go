package spectrum

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
)

const (
	fewestFrequencies = 3

	// A sweep has 5 to 20 points a decade over some seven decades (common practice). The time that a fit takes grows faster than
	// their number: 5000 take seconds, 100,000 would take hours.
	mostPoints = 5_000
)

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
	if len(points) > mostPoints {
		e := r.table.Fault(Cell{}, "%d points; at most %d are allowed", len(points), mostPoints)
		e.Remedy = "a sweep has 5 to 20 points a decade; see that the file holds one sweep, by frequency and not by time"
		r.faults.add(e)
	}
	if distinct := len(points) - noteDoubled(s); distinct < fewestFrequencies && r.faults.count() == 0 {
		r.faults.add(r.table.Fault(Cell{}, "%s at %s; at least %d frequencies are needed", counted(len(points), "point", "points"), counted(distinct, "frequency", "frequencies"), fewestFrequencies))
	}
	return s
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func (s *Spectrum) note(n Note) { s.Notes = append(s.Notes, n) }

// hertz writes a frequency with the digits that it was read with.
func hertz(f float64) string { return strconv.FormatFloat(f, 'g', -1, 64) + " Hz" }

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
		s.note(Note{Kind: Mapped, Columns: used, Text: fmt.Sprintf("Read as job.yaml says: %v.", used)})
	}
	if r.foreign {
		s.note(Note{Kind: Mapped, Text: "No heading that job.yaml's columns name stands in this file; it was read by its own headings."})
	}
}

// noteDisorder tells where the points, as they stand in the file, leave the direction they set out in.
func noteDisorder(s *Spectrum, points []point) {
	direction := 0
	for i := 1; i < len(points); i++ {
		step := cmp.Compare(points[i].frequency, points[i-1].frequency)
		if step*direction < 0 {
			at := points[i].frequency
			s.note(Note{Kind: OutOfOrder, Line: points[i].row.Line, FrequencyHz: at,
				Text: fmt.Sprintf("The points are not in order of frequency; the first out of order is %s.", hertz(at))})
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
		at := s.Frequency[first]
		s.note(Note{Kind: Doubled, Line: s.Line[first], FrequencyHz: at, Points: repeats,
			Text: fmt.Sprintf("Points at a frequency that stands before: %d; the first of them is at %s.", repeats, hertz(at))})
	}
	return repeats
}
