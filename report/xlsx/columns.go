package xlsx

import (
	"strings"
	"unicode/utf8"

	"ohmledger/fit"
	"ohmledger/report/notation"
)

// cell is what stands in one place. A formula has the value that it gives; no value leaves it blank.
type cell struct {
	value   any
	formula string
	look    look
}

// column is one of a table, whose rows are made of T.
type column[T any] struct {
	head  string
	width float64
	side  string // where the head stands
	cell  func(row T, at int) cell
}

// columns of a table, known by keys to formulas.
type columns[T any] struct {
	list    []column[T]
	letters map[string]string
	heads   map[string]int // how often each stands, without case
}

func newColumns[T any]() *columns[T] {
	return &columns[T]{letters: map[string]string{}, heads: map[string]int{}}
}

func (c *columns[T]) add(key, head string, width float64, content func(row T, at int) cell) {
	if c.letters[key] != "" {
		panic("xlsx: two columns are called " + key)
	}
	c.letters[key] = letterOf(len(c.list) + 1)
	head = c.distinct(head)
	c.list = append(c.list, column[T]{head, max(width, wordWidth(head)), "right", content})
}

// wordWidth is how wide a column has to be for the longest word of a bold head to stand on one line.
func wordWidth(head string) (width float64) {
	const bold, aside = 1.15, 1 // of a letter in bold; room beside it
	for _, word := range strings.Fields(head) {
		width = max(width, min(longestWord, float64(utf8.RuneCountInString(word)))*bold+aside)
	}
	return width
}

// longestWord is how many characters of a head's word a column makes room for; quantities and units are shorter.
const longestWord = 32

// distinct is a head as a table can have it: on one line, neither blank nor too long, no two alike, and nothing
// that cells and tables would read differently (see escape).
func (c *columns[T]) distinct(head string) string {
	const longest = 120 // of 255 UTF-16 units
	head = clip(strings.Join(strings.Fields(text(head)), " "), longest)
	head = escape.ReplaceAllStringFunc(head, func(found string) string { return "_ " + found[1:] })
	if head == "" {
		head = notation.NotHad
	}
	key := strings.ToLower(head)
	if c.heads[key]++; c.heads[key] > 1 {
		return head + " (" + number(c.heads[key]) + ")"
	}
	return head
}

// at is the reference of a column's cell in a row: "E5".
func (c *columns[T]) at(key string, row int) string { return c.letter(key) + number(row) }

// fixed is a reference that stays when a formula is copied: "$E$5".
func (c *columns[T]) fixed(key string, row int) string {
	return "$" + c.letter(key) + "$" + number(row)
}

func (c *columns[T]) letter(key string) string {
	letter, ok := c.letters[key]
	if !ok {
		panic("xlsx: there is no column " + key)
	}
	return letter
}

// last is the letter of the last column.
func (c *columns[T]) last() string { return letterOf(len(c.list)) }

// Widths of columns in characters.
const (
	narrow, middling, wide, wider, widest = 9, 13, 24, 48, 64
)

// sideWidth holds the words for at most and at least.
const sideWidth = 12

// words is a column of texts from outside.
func (c *columns[T]) words(key, head string, width float64, of func(T) string) {
	c.add(key, head, width, func(row T, _ int) cell { return words(of(row), look{wrap: width >= wide, side: "left"}) })
	c.list[len(c.list)-1].side = "left"
}

// centred is a column of short words, as verdicts are.
func (c *columns[T]) centred(key, head string, width float64, content func(row T, at int) cell) {
	c.add(key, head, width, content)
	c.list[len(c.list)-1].side = "center"
}

// figure is a column whose head is the wording's of the same key.
func (c *columns[T]) figure(b *book, key string, of func(T) cell) {
	c.add(key, b.say("column."+key), middling, func(row T, _ int) cell { return of(row) })
}

// value adds a column of estimates and one of their standard uncertainties.
func (c *columns[T]) value(b *book, key, name string, s notation.Scale, of func(T) fit.Value) {
	c.add(key, withUnit(name, s), middling, func(row T, _ int) cell { return estimate(of(row), s) })
	c.add("u "+key, withUnit(b.say("u", name), s), middling, func(row T, _ int) cell { return uncertainty(of(row), s) })
}

// numbers is a column of numbers without uncertainty, blank where there is none.
func (c *columns[T]) numbers(key, head, format string, of func(T) *float64) {
	c.add(key, head, 11, func(row T, _ int) cell {
		if x := of(row); x != nil {
			return cell{value: *x, look: look{format: format}}
		}
		return cell{}
	})
}

func words(s string, l look) cell {
	if s == "" {
		return cell{look: l}
	}
	return cell{value: text(s), look: l}
}

// estimate shows as many digits as its uncertainty has.
func estimate(v fit.Value, s notation.Scale) cell {
	if !v.Known() {
		return cell{}
	}
	return cell{value: s.In(v.Estimate()), look: look{format: formatFor(v.StandardUncertainty(), s)}}
}

func uncertainty(v fit.Value, s notation.Scale) cell {
	if !v.Known() {
		return cell{}
	}
	u := v.StandardUncertainty()
	if u == 0 { // stated nowhere
		return cell{value: 0}
	}
	return cell{value: s.In(u), look: look{format: formatFor(u, s)}}
}

// unstated is a dash in place of an uncertainty that nobody states.
func unstated() cell { return words(notation.NotHad, look{side: "right"}) }

func formatFor(u float64, s notation.Scale) string {
	if !(u > 0) {
		return decimals(unknownDecimals)
	}
	return decimals(s.Decimals(u))
}

// withUnit is a head: the quantity over its unit.
func withUnit(name string, s notation.Scale) string {
	if s.Symbol == "" {
		return name
	}
	return name + " / " + s.Symbol
}
