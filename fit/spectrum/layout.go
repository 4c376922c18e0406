package spectrum

import (
	"cmp"
	"slices"
	"strings"
)

// column is a column of the table that may hold a part of the spectrum.
type column struct {
	heading
	index  int
	header Cell
	mapped bool // named in job.yaml's columns
}

// layout says where a spectrum stands in its table. A column that cannot be told is nil.
type layout struct {
	frequency     *column
	first, second *column // Z' and Z'', or |Z| and phase
	polar         bool
}

func (l layout) whole() bool { return l.frequency != nil && l.first != nil && l.second != nil }

// columnsOf gives the columns of the layout in the order frequency, first, second.
func (l layout) columns() [3]*column { return [3]*column{l.frequency, l.first, l.second} }

// findLayout chooses the columns; each that is missing or not the only one is a fault.
func (r *reader) findLayout() layout {
	r.recognise()
	l := layout{polar: r.isPolar()}
	first, second := realPart, imaginaryPart
	if l.polar {
		first, second = modulus, phase
	}
	l.frequency, l.first, l.second = r.choose(frequency), r.choose(first), r.choose(second)
	r.refuseMissing(frequency, first, second)
	return l
}

// recognise parses all headings, and settles whether job.yaml's columns are about this file at all:
// a job may hold files of several instruments, of which only some need a mapping.
func (r *reader) recognise() {
	var natives [quantityCount]bool
	for i, c := range r.table.Header {
		r.headings = append(r.headings, c.Text)
		if h, ok := parseHeading(c.Text); ok {
			r.known = append(r.known, column{heading: h, index: i, header: c})
			natives[h.quantity] = natives[h.quantity] || h.native
		}
	}
	isNative := natives[frequency] && natives[realPart] && natives[imaginaryPart] && !r.mappingStands()
	if r.mapping.hasHeadings() && (isNative || !r.mappingFits()) {
		r.mapping, r.foreign = r.mapping.withoutHeadings(), !isNative
	}
}

// mappingStands says whether a mapped heading, other than the native one, stands in the file as it is: then it is wanted, whatever
// else the file holds.
func (r *reader) mappingStands() bool {
	for q := range quantityCount {
		if name := *r.mapping.heading(q); name != "" && !strings.EqualFold(name, quantities[q].native) && len(r.mapped(q)) > 0 {
			return true
		}
	}
	return false
}

// mappingFits says whether a mapped heading stands in the file, or one so like it that a slip is likely.
func (r *reader) mappingFits() bool {
	for q := range quantityCount {
		if name := *r.mapping.heading(q); name != "" && (Nearest(name, r.headings) != "" || len(r.mapped(q)) > 0) {
			return true
		}
	}
	return false
}

// isPolar prefers the Cartesian form where the file has both, unless only the polar one is mapped.
func (r *reader) isPolar() bool {
	has := func(q quantity) bool { return len(r.candidates(q)) > 0 }
	cartesian, polar := has(realPart) && has(imaginaryPart), has(modulus) && has(phase)
	switch {
	case cartesian && polar:
		return r.mapping.Real+r.mapping.Imaginary == "" && r.mapping.Magnitude+r.mapping.Phase != ""
	case cartesian || polar:
		return polar
	}
	return (has(modulus) || has(phase)) && !has(realPart) && !has(imaginaryPart)
}

// candidates are the columns that may hold a quantity: the mapped one; else a native name; else the
// spellings of the trade, among which one whose unit is none of ours yields to any other.
func (r *reader) candidates(q quantity) []column {
	if *r.mapping.heading(q) != "" {
		return r.mapped(q)
	}
	var found []column
	for _, c := range r.known {
		if c.quantity == q {
			found = append(found, c)
		}
	}
	for _, better := range []func(column) bool{
		func(c column) bool { return c.native },
		func(c column) bool { return c.unit.known() || c.unitText == "" },
	} {
		if slices.ContainsFunc(found, better) {
			found = slices.DeleteFunc(found, func(c column) bool { return !better(c) })
		}
	}
	return found
}

// mapped are the columns with the heading that job.yaml gives for a quantity.
func (r *reader) mapped(q quantity) []column {
	var found []column
	for i, c := range r.table.Header {
		if strings.EqualFold(c.Text, *r.mapping.heading(q)) {
			found = append(found, column{heading: parseMapped(c.Text, q), index: i, header: c, mapped: true})
		}
	}
	return found
}

// choose finds the one column of a quantity.
func (r *reader) choose(q quantity) *column {
	found := r.candidates(q)
	switch len(found) {
	case 0:
		return nil
	case 1:
		return &found[0]
	}
	one, other := found[0].header, found[1].header
	if strings.EqualFold(one.Text, other.Text) {
		r.faults.add(r.table.Fault(other, "heading %s stands over two columns; one of them must be renamed", quote(other.Text)))
		return nil
	}
	r.cannotTell(other, "%s and %s both name the %s; one of them must be chosen", quote(one.Text), quote(other.Text), quantities[q].name)
	*r.remedy.heading(q) = one.Text
	return nil
}

// refuseMissing is the fault of quantities without a column.
func (r *reader) refuseMissing(needed ...quantity) {
	var unnamed []string
	missing := slices.DeleteFunc(slices.Clone(needed), func(q quantity) bool { return len(r.candidates(q)) > 0 })
	for i, q := range missing {
		mapped := *r.mapping.heading(q)
		switch {
		case mapped == "":
			unnamed = append(unnamed, quantities[q].name)
		default:
			r.cannotTell(r.table.Header[0], "job.yaml's columns give %s: %s, which is none of the headings %s",
				quantities[q].key, quote(mapped), list(r.headings))
		}
		r.suggest(q, cmp.Or(mapped, quantities[q].native), len(missing)-i)
	}
	if len(unnamed) > 0 {
		r.cannotTell(r.table.Header[0], "no known heading for %s among %s%s", strings.Join(unnamed, ", "), list(r.headings), r.unsuited())
	}
}

// unsuited tells of a heading that comes near and is of another scale.
func (r *reader) unsuited() string {
	for _, h := range r.headings {
		if is := otherScale(h); is != "" {
			return "; " + quote(h) + " is that of " + is
		}
	}
	return ""
}

// blankHeading begins what is to be filled in.
const blankHeading = "heading of the "

// suggest puts the heading nearest to a name into the remedy, of those that no column of the spectrum has; where none is near the
// last one that is left for the last quantity, or else a blank to fill.
func (r *reader) suggest(q quantity, name string, open int) {
	left := r.unassigned(q)
	nearest := Nearest(name, left)
	if nearest == "" && open == 1 && len(left) == 1 {
		nearest = left[0]
	}
	*r.remedy.heading(q) = cmp.Or(nearest, blankHeading+quantities[q].name)
	stated := parseMapped(nearest, q).unit.known() || slices.ContainsFunc(r.known, func(c column) bool { return isImpedance(c.quantity) && c.unit.known() })
	if isImpedance(q) && r.remedy.Unit == "" && !stated {
		r.remedy.Unit = "ohm"
	}
}

// unassigned are the headings that are neither of a known part of the spectrum nor in the remedy for another one, but for
// those that no line of job.yaml can name: endless ones, and those of another scale.
func (r *reader) unassigned(q quantity) (left []string) {
	for i, h := range r.headings {
		taken := slices.ContainsFunc(r.known, func(c column) bool { return c.index == i && c.quantity != q }) || h == "" ||
			len(h) > longestHeading || otherScale(h) != ""
		for other := range quantityCount {
			taken = taken || other != q && strings.EqualFold(h, *r.remedy.heading(other))
		}
		if !taken {
			left = append(left, h)
		}
	}
	return left
}

// list shows headings in a message, the first of many.
func list(headings []string) string {
	const most = 8
	quoted := make([]string, 0, most+1)
	for _, h := range headings[:min(len(headings), most)] {
		quoted = append(quoted, quote(h))
	}
	if len(headings) > most {
		quoted = append(quoted, "…")
	}
	return strings.Join(quoted, ", ")
}
