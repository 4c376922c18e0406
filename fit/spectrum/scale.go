package spectrum

import (
	"math"
	"regexp"
)

// units settles the unit of each column of a layout. One that cannot be told is a fault and zero.
func (r *reader) units(l layout, points []point) [3]unit {
	r.refuseOtherScales(l)
	first, second := r.impedanceUnit(l.first), unit{}
	if l.polar {
		second = r.phaseUnit(l.second, points)
	} else {
		second = r.impedanceUnit(l.second)
	}
	return [3]unit{r.frequencyUnit(l.frequency), first, second}
}

func (r *reader) frequencyUnit(c *column) unit {
	switch {
	case c.unit.known():
		return c.unit
	case c.unitText != "":
		r.unknownUnit(c)
		return unit{}
	case c.mapped:
		return unit{1, 0} // Hz, as job.yaml's columns define it
	}
	r.cannotTell(c.header, "heading %s states no unit; Hz, kHz or mHz must stand there, or job.yaml must name the heading, which means Hz", quote(c.header.Text))
	r.remedy.Frequency = c.header.Text
	return unit{}
}

func (r *reader) impedanceUnit(c *column) unit {
	told := r.mapping.unit()
	switch {
	case c.unit.known() && told.known() && told != c.unit && !c.native:
		e := r.table.Fault(c.header, "heading %s states %s, job.yaml's columns say unit: %s; they must agree",
			quote(c.header.Text), c.unitText, r.mapping.Unit)
		e.Remedy = "correct the heading; or, where files differ, take unit out of job.yaml's columns and write it into all headings, as Zre (mohm), Zim (mohm)"
		r.faults.add(e)
		return unit{}
	case c.unit.known():
		return c.unit
	case c.unitText != "" && !c.mapped:
		r.unknownUnit(c)
		return unit{}
	case told.known():
		return told
	}
	r.cannotTell(c.header, "heading %s states no known unit; ohm or mohm must stand there or in job.yaml", quote(c.header.Text))
	r.remedy.Unit = "ohm"
	return unit{}
}

// phaseUnit takes a phase without unit for degrees where job.yaml maps it, or where it goes beyond a
// full turn in radian.
func (r *reader) phaseUnit(c *column, points []point) unit {
	switch {
	case c.unit.known():
		return c.unit
	case c.unitText != "":
		r.unknownUnit(c)
		return unit{}
	case c.mapped:
		return degrees
	}
	for _, p := range points {
		if math.Abs(p.written[2]) > 2*math.Pi {
			return degrees
		}
	}
	r.cannotTell(c.header, "heading %s states no unit, and the values fit degrees and radian; deg or rad must stand there, or job.yaml must name the heading, which means degrees", quote(c.header.Text))
	r.remedy.Phase = c.header.Text
	return unit{}
}

func (r *reader) unknownUnit(c *column) {
	r.faults.add(r.table.Fault(c.header, "heading %s states the unit %s; %s are allowed",
		quote(c.header.Text), quote(c.unitText), quantities[c.quantity].allowed))
}

// otherScales are headings of what is akin to a part of a spectrum and not it, whatever job.yaml says.
var otherScales = []struct {
	heading *regexp.Regexp
	is      string
}{
	{regexp.MustCompile(`(?i)\brad(ians?)?\s*(/|·|\*|per)?\s*s(ec(onds?)?)?\b|\b(omega|angular)\b|(?-i:^\s*ω)`), "an angular frequency, 2π times the one in Hz"},
	{regexp.MustCompile(`(?i)\b(log(10)?|lg|ln)\b|\bdb\b`), "a logarithm"},
	{regexp.MustCompile(`(?i)(Ω|ohms?)\s*[·*. ]?\s*c?m\s*(²|\^?2)`), "a resistance times an area"},
	{regexp.MustCompile(`(?i)\b(admittance|siemens|conductance)\b|(?-i:[(\[/]\s*m?S\s*[)\]]?$)`), "an admittance, the reciprocal of an impedance"},
}

// otherScale says what else a heading is of; empty where it is nothing else.
func otherScale(heading string) string {
	heading = plainSigns.Replace(heading)
	for _, o := range otherScales {
		if len(heading) <= longestHeading && o.heading.MatchString(heading) {
			return o.is
		}
	}
	return ""
}

func (r *reader) refuseOtherScales(l layout) {
	for _, c := range l.columns() {
		told := c.unitText != "" && !isImpedance(c.quantity) // by unknownUnit
		if is := otherScale(c.header.Text); is != "" && c.mapped && !told {
			e := r.table.Fault(c.header, "heading %s is that of %s; the %s in %s is needed", quote(c.header.Text), is, quantities[c.quantity].name, quantities[c.quantity].allowed)
			e.Remedy = "convert the column, or name another one in job.yaml's columns"
			r.faults.add(e)
		}
	}
}
