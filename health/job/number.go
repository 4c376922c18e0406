package job

import (
	"math"
	"regexp"
	"strconv"
	"strings"
)

// number is a finite decimal number within bounds.
type number struct {
	least, most float64
	open        bool   // least itself is not allowed
	unit        string // in words with its preposition, for messages; the key's name carries it
	series      []float64
}

var (
	decimal      = regexp.MustCompile(`^[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?$`)
	decimalComma = regexp.MustCompile(`^[-+]?\d+,\d+$`)
	withUnit     = regexp.MustCompile(`^[-+]?(\d+|\d*[.,]\d+)\s*([\p{L}%°].*)$`)
	otherBase    = regexp.MustCompile(`^[-+]?0[xob]`)
	fraction     = "as a fraction (0.002 for 0.2 %)"
)

func (n number) read(into *float64, at place, r *reading) {
	written, ok := one(at, r, n.allowed())
	if !ok {
		return
	}
	if !decimal.MatchString(written) || at.quoted {
		n.refuse(written, at, r)
		return
	}
	value, err := strconv.ParseFloat(written, 64)
	if err != nil || !n.holds(value) {
		r.refuse(at, "", "%s is %s", figures(written), n.beyond())
		return
	}
	*into = value + 0 // −0 becomes 0
}

// figures is a number as it was written, where it is not endless.
func figures(written string) string {
	const most = 40
	if len(written) > most {
		return written[:most] + "…"
	}
	return written
}

// refuse says why something is no number.
func (n number) refuse(written string, at place, r *reading) {
	switch {
	case decimal.MatchString(written):
		r.refuse(at, "write "+written+" without quotes", "the quotes make %s a text; allowed: %s", quote(written), n.allowed())
	case decimalComma.MatchString(written):
		r.refuse(at, "write "+strings.Replace(written, ",", ".", 1), "%s has a decimal comma; job.yaml takes a decimal point", quote(written))
	case withUnit.MatchString(written) && !otherBase.MatchString(written):
		r.refuse(at, "write the number alone, "+n.unit, "%s holds more than a number; the key's name already gives the unit", quote(written))
	default:
		r.refuse(at, "", "%s is no number; allowed: %s", quote(written), n.allowed())
	}
}

func (n number) holds(value float64) bool {
	for _, member := range n.series {
		if value == member {
			return true
		}
	}
	return n.series == nil && (value > n.least || value == n.least && !n.open) && value <= n.most
}

// beyond says that a number is not allowed.
func (n number) beyond() string {
	if n.series != nil {
		return "none of the values allowed: " + n.allowed()
	}
	return "out of range; allowed: " + n.allowed()
}

// allowed words the bounds.
func (n number) allowed() string {
	if n.series != nil {
		members := make([]string, len(n.series))
		for i, member := range n.series {
			members[i] = short(member)
		}
		return alternatives(members)
	}
	low := short(n.least)
	if n.open {
		return "over " + low + " up to " + short(n.most) + ", " + n.unit
	}
	return low + " to " + short(n.most) + ", " + n.unit
}

// short writes a number as people do.
func short(value float64) string {
	if math.Abs(value) >= 1e-4 && math.Abs(value) < 1e15 || value == 0 {
		return strconv.FormatFloat(value, 'f', -1, 64)
	}
	return strconv.FormatFloat(value, 'g', -1, 64)
}

// whole is a whole number within bounds.
type whole struct {
	least, most int
	unit        string
}

func (w whole) read(into *int, at place, r *reading) {
	before := len(r.faults)
	var value float64
	number{least: float64(w.least), most: float64(w.most), unit: "as a whole number of " + w.unit}.read(&value, at, r)
	if len(r.faults) > before {
		return
	}
	if value != math.Trunc(value) {
		r.refuse(at, "", "%s is no whole number; allowed: %d to %d %s", at.text, w.least, w.most, w.unit)
		return
	}
	if !at.empty() {
		*into = int(value)
	}
}

// number is the number that stands at a place, where it was read without fault.
func (p place) number(r *reading) (value float64, ok bool) {
	if p.shape != scalar || p.empty() || !r.sound(p) {
		return 0, false
	}
	value, err := strconv.ParseFloat(strings.TrimSpace(p.text), 64)
	return value, err == nil && value > 0
}

// times is a factor in three digits.
func times(factor float64) string {
	factor, _ = strconv.ParseFloat(strconv.FormatFloat(factor, 'g', 3, 64), 64) // a number that was just written
	return short(factor)
}
