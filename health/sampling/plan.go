package sampling

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

// Plan is one plan of a table: the code letter that it stands at, its sample size and its number.
type Plan struct {
	Letter string
	Size   int
	Number float64
}

// planAt follows the arrows from a code letter's row to the plan that holds. It reports false where the table has none.
func planAt(table []planRow, letter string, column int) (Plan, bool) {
	row := slices.IndexFunc(table, func(r planRow) bool { return r.letter == letter })
	for row >= 0 && row < len(table) && column >= 0 {
		plans := strings.Fields(table[row].plans)
		if column >= len(plans) {
			break
		}
		switch cell := plans[column]; cell {
		case "v":
			row++
		case "^":
			row--
		default:
			n, err := strconv.ParseFloat(cell, 64)
			return Plan{table[row].letter, table[row].size, n}, err == nil
		}
	}
	return Plan{}, false
}

// AttributesPlan is the plan of MIL-STD-105E, single sampling, normal inspection, for a code letter and a quality level
// in percent.
func AttributesPlan(letter string, aql float64) (Plan, bool) {
	return planAt(attributesPlans, letter, slices.Index(attributesAQL, aql))
}

// VariablesPlan is the plan of MIL-STD-414, variability unknown, standard deviation method. Tightened inspection uses
// the constants of the next stricter column.
func VariablesPlan(letter string, aql float64, severity string) (Plan, bool) {
	column := slices.Index(variablesAQL, aql)
	if severity == "tightened" && column >= 0 {
		column--
	}
	return planAt(variablesPlans, letter, column)
}

// AttributesLetter is the code letter of MIL-STD-105E for a lot size at a level; empty where it has none.
func AttributesLetter(lot int, level string) string {
	return codeLetter(attributesLetters, attributesLevels, lot, level)
}

// VariablesLetter is that of MIL-STD-414.
func VariablesLetter(lot int, level string) string {
	return codeLetter(variablesLetters, variablesLevels, lot, level)
}
