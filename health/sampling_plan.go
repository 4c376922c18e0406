package health

import (
	"slices"
	"strconv"
	"strings"
)

// codeLetter is what a table of code letters has for a lot size at a level; empty where it has none.
func codeLetter(table []letterRow, levels []string, lot int, level string) string {
	column := slices.Index(levels, level)
	letter := ""
	for _, row := range table {
		if lot >= row.from && column >= 0 {
			letter = row.letters[column : column+1]
		}
	}
	return letter
}

// entry is a plan of a table: the code letter that it stands at, its sample size and its number.
type entry struct {
	letter string
	size   int
	number float64
}

// planAt follows the arrows from a code letter's row to the plan that holds. It reports false where the table has none.
func planAt(table []planRow, letter string, column int) (entry, bool) {
	row := slices.IndexFunc(table, func(r planRow) bool { return r.letter == letter })
	for row >= 0 && row < len(table) && column >= 0 {
		plans := strings.Fields(table[row].plans)
		if column >= len(plans) {
			break
		}
		switch plan := plans[column]; plan {
		case "v":
			row++
		case "^":
			row--
		default:
			n, err := strconv.ParseFloat(plan, 64)
			return entry{table[row].letter, table[row].size, n}, err == nil
		}
	}
	return entry{}, false
}
