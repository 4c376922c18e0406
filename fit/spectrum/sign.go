package spectrum

import "math"

// The impedance of a cell is capacitive, Z″ < 0, below the kilohertz range; wires and the cell's
// own inductance outweigh that only above (common practice). Points count as low where they lie in
// the lower half of the band, on a logarithmic scale, and under lowFrequency.
const (
	lowFrequency   = 100.0 // Hz
	fewestLow      = 2     // points that allow a judgement
	inductiveShare = 0.9   // of them with Z'' > 0: a loop at the very end of a sweep stays below it
)

// sign is +1 where the second column of a layout holds Z″ or the phase, −1 where it holds the
// negative: as job.yaml says, else as the heading says.
func (r *reader) sign(l layout) float64 {
	switch told := r.mapping.ImaginarySign; {
	case told == "+" || told == "" && !l.second.negative:
		return 1
	default:
		return -1
	}
}

// headingAgrees says whether the heading has the sign that job.yaml tells.
func (r *reader) headingAgrees(l layout) bool {
	return (r.mapping.ImaginarySign == "-") == l.second.negative
}

// checkSign holds the sign against the data. Heading and job.yaml together outweigh them.
func (r *reader) checkSign(l layout, points []point) {
	if !r.isCell || !inductive(points) {
		return
	}
	heading, told := l.second.header, r.mapping.ImaginarySign
	switch {
	case turned(points):
		e := r.table.Fault(heading, "real part and heading %s give an impedance whose both parts have the wrong sign: that of no cell, but of one turned over", quote(heading.Text))
		e.Remedy = "most likely the sensing leads are swapped: put each to the side of its current lead and measure again; imaginary_sign does not mend it"
		r.faults.add(e)
	case told == "":
		r.cannotTell(heading, "heading %s gives %s, by which the cell would be inductive at low frequency; no cell is",
			quote(heading.Text), l.second.signedName())
		r.remedy.ImaginarySign, r.marked = map[bool]string{false: "-", true: "+"}[l.second.negative], l.second.marked()
	case !r.headingAgrees(l):
		e := r.table.Fault(heading, "imaginary_sign: %q in job.yaml's columns would make the cell inductive at low frequency; heading %s and the data say the opposite",
			told, quote(heading.Text))
		e.Remedy = "take imaginary_sign out of job.yaml; where other files need it, mark their headings, as " + l.second.marked()
		r.faults.add(e)
	}
}

// turned says whether nearly all points have a negative real part as well: the file holds −Z.
func turned(points []point) bool {
	below := 0
	for _, p := range points {
		if real(p.impedance) < 0 {
			below++
		}
	}
	return float64(below) >= inductiveShare*float64(len(points))
}

// signedName says what the heading of an imaginary part or phase claims.
func (c *column) signedName() string {
	name := map[quantity]string{imaginaryPart: "Z''", phase: "the phase"}[c.quantity]
	if c.negative {
		return "the negative of " + name
	}
	return name
}

// inductive says whether nearly all points at low frequency have Z″ > 0.
func inductive(points []point) bool {
	least, most := math.Inf(1), 0.0
	for _, p := range points {
		least, most = min(least, p.frequency), max(most, p.frequency)
	}
	low, above := 0, 0
	for _, p := range points {
		if p.frequency <= min(math.Sqrt(least*most), lowFrequency) {
			low++
			if imag(p.impedance) > 0 {
				above++
			}
		}
	}
	return low >= fewestLow && float64(above) >= inductiveShare*float64(low)
}
