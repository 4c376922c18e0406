package spectrum

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// shape says how the text of a cell spells a number.
type shape uint8

const (
	noNumber       shape = iota
	plainNumber          // no decimal sign, as 1000 or 2E4
	pointNumber          // 0.0385
	commaNumber          // 0,0385
	groupedByPoint       // 1.234 or 10.000: 1234 thousandths, or thousands grouped in threes
	groupedByComma       // 1,234 likewise
)

// Numbers reads cells of chosen columns as numbers. One decimal sign, point or comma, serves the
// columns together: where both occur, 1.234 could be either 1.234 or 1234 and is refused.
type Numbers struct{ points, commas bool }

// Numbers looks through columns (indices into Header) for the decimal sign that they use. Give all
// columns that hold numbers, and no others, since a label such as 3.1 would count.
func (t *Table) Numbers(columns ...int) Numbers {
	var n Numbers
	for _, row := range t.Rows {
		for _, column := range columns {
			switch numberShape(row.Cells[column].Text) {
			case pointNumber, groupedByPoint:
				n.points = true
			case commaNumber, groupedByComma:
				n.commas = true
			}
		}
	}
	return n
}

// Parse gives the number in a cell, always finite, or says what was found and what is allowed.
func (n Numbers) Parse(c Cell) (float64, error) {
	switch {
	case c.Kind == Number:
		return c.Number, nil
	case c.Kind == Date:
		return 0, fmt.Errorf("the date %s where a number is needed", c.Text)
	case c.Blank():
		return 0, errors.New("blank where a number is needed")
	}
	text := c.Text
	switch s := numberShape(text); {
	case s == noNumber:
		return 0, fmt.Errorf("%s where a number is needed", quote(text))
	case (s == groupedByPoint && n.commas) || (s == groupedByComma && n.points):
		return 0, fmt.Errorf("%s may mean a fraction or thousands, since decimal points and decimal commas both occur; one of them is needed throughout", quote(text))
	}
	return parseDecimal(text)
}

func parseDecimal(text string) (float64, error) {
	v, err := strconv.ParseFloat(strings.Replace(minusSign.Replace(text), ",", ".", 1), 64)
	if err != nil || math.IsInf(v, 0) { // only out of range is left
		return 0, fmt.Errorf("%s is beyond the range of numbers", quote(text))
	}
	return v, nil
}

// minusSign turns the typographic minus (U+2212) into the one of keyboards.
var minusSign = strings.NewReplacer("−", "-")

// numberShape takes sign, digits, at most one decimal sign, and an exponent. Neither hexadecimal
// nor "inf", "nan" or digits parted by blanks count.
func numberShape(text string) shape {
	whole, rest := cutDigits(cutSign(text))
	separator, fraction := byte(0), ""
	if rest != "" && (rest[0] == '.' || rest[0] == ',') {
		separator = rest[0]
		fraction, rest = cutDigits(rest[1:])
	}
	switch {
	case len(whole)+len(fraction) == 0 || rest != "" && !isExponent(rest):
		return noNumber
	case separator == 0:
		return plainNumber
	}
	grouped := rest == "" && len(fraction) == 3 && len(whole) >= 1 && len(whole) <= 3 && whole[0] != '0'
	return separatedShape(separator == ',', grouped)
}

func separatedShape(comma, grouped bool) shape {
	switch {
	case comma && grouped:
		return groupedByComma
	case comma:
		return commaNumber
	case grouped:
		return groupedByPoint
	}
	return pointNumber
}

func isExponent(text string) bool {
	digits, rest := cutDigits(cutSign(text[1:]))
	return (text[0] == 'e' || text[0] == 'E') && digits != "" && rest == ""
}

// cutSign cuts one sign off, of a keyboard or typographic (U+2212).
func cutSign(text string) string {
	if text != "" && (text[0] == '-' || text[0] == '+') {
		return text[1:]
	}
	return strings.TrimPrefix(text, "−")
}

func cutDigits(text string) (digits, rest string) {
	n := 0
	for n < len(text) && '0' <= text[n] && text[n] <= '9' {
		n++
	}
	return text[:n], text[n:]
}

// quote shows found text in a message, shortened.
func quote(text string) string { return strconv.Quote(shorten(text)) }

func shorten(text string) string {
	const most = 40
	if utf8.RuneCountInString(text) > most {
		return string([]rune(text)[:most-1]) + "…"
	}
	return text
}
