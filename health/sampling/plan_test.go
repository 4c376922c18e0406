package sampling

import (
	"strconv"
	"strings"
	"testing"

	"ohmledger/health/internal/published"
)

// MIL-STD-105E, Table II-A, all 416 cells with their arrows followed, and Table I, all 105.
func TestAttributesTables(t *testing.T) {
	rows := published.Rows(t, "published", "milstd105e_single_normal_resolved.csv")
	var levels []string
	columns := map[string]int{}
	for _, row := range rows {
		if _, known := columns[row["aql"]]; !known {
			columns[row["aql"]] = len(columns)
			levels = append(levels, row["aql"])
		}
		got, ok := planAt(attributesPlans, row["code_letter"], columns[row["aql"]])
		if n, ac := published.Number(t, row["n"]), published.Number(t, row["ac"]); !ok || float64(got.Size) != n || got.Number != ac {
			t.Errorf("%s, AQL %s: %+v, want n %v, Ac %v", row["code_letter"], row["aql"], got, n, ac)
		}
	}
	if len(rows) != 416 || len(levels) != 26 {
		t.Fatalf("%d plans of %d quality levels", len(rows), len(levels))
	}
	for i, aql := range attributesAQL {
		if published.Number(t, levels[i]) != aql {
			t.Errorf("column %d: %v, want %s", i, aql, levels[i])
		}
	}
	for _, row := range published.Rows(t, "published", "milstd105e_code_letters.csv") {
		from, err := strconv.Atoi(strings.FieldsFunc(row["lot_size"], func(r rune) bool { return r == '-' || r == '+' })[0])
		if err != nil {
			t.Fatal(err)
		}
		for _, level := range attributesLevels {
			if got := AttributesLetter(from, level); got != row[level] {
				t.Errorf("lot %d, level %s: %s, want %s", from, level, got, row[level])
			}
		}
	}
}

// The table's own law: along a diagonal, code letter index plus quality level index, the acceptance number is the same.
func TestAttributesDiagonals(t *testing.T) {
	law := map[int]float64{14: 0, 17: 1, 18: 2, 19: 3, 20: 5, 21: 7, 22: 10, 23: 14, 24: 21}
	for i, row := range attributesPlans {
		for j, plan := range strings.Fields(row.plans)[:len(attributesAQL)] {
			want, numbered := law[i+j]
			if got, err := strconv.ParseFloat(plan, 64); numbered != (err == nil) || numbered && got != want {
				t.Errorf("%s, AQL %v: %s, want %v", row.letter, attributesAQL[j], plan, want)
			}
		}
	}
}

// Spot values of MIL-STD-105E, arrows included: an arrow changes the sample size as well.
func TestAttributesPlans(t *testing.T) {
	for _, c := range []struct {
		lot     int
		level   string
		aql     float64
		letter  string
		n, most int
	}{
		{1000, "II", 1.0, "J", 80, 2}, {1000, "II", 0.65, "J", 80, 1}, {1000, "II", 2.5, "J", 80, 5}, {1000, "II", 0.10, "J", 125, 0},
		{500, "II", 1.0, "H", 50, 1}, {100, "II", 4.0, "F", 20, 2}, {8, "II", 1.0, "A", 13, 0},
	} {
		letter := AttributesLetter(c.lot, c.level)
		p, ok := AttributesPlan(letter, c.aql)
		if letter != c.letter || !ok || p.Size != c.n || int(p.Number) != c.most {
			t.Errorf("lot %d, level %s, AQL %v: %s %+v", c.lot, c.level, c.aql, letter, p)
		}
	}
}

// MIL-STD-414, Tables B-1 and B-2, form 1: every constant, arrows followed.
func TestVariablesTable(t *testing.T) {
	rows := published.Rows(t, "published", "milstd414_form1_k.csv")
	for _, row := range rows {
		p, ok := VariablesPlan(row["code_letter"], published.Number(t, row["aql"]), row["inspection"])
		if k := published.Number(t, row["k"]); !ok || p.Number != k || p.Size < int(published.Number(t, row["n"])) {
			t.Errorf("%v: %+v", row, p)
		}
	}
	if len(rows) != 16*(14+13) {
		t.Errorf("%d constants", len(rows))
	}
	if _, ok := VariablesPlan("F", 0.04, "tightened"); ok {
		t.Error("a plan left of the table")
	}
	for _, c := range []struct {
		letter, severity string
		aql, k           float64
		n                int
	}{{"F", "normal", 1.0, 1.72, 10}, {"F", "tightened", 1.0, 1.84, 10}, {"D", "tightened", 1.0, 1.65, 5}, {"B", "normal", 1.0, 1.45, 4}, {"C", "normal", 0.10, 2.42, 15}} {
		if p, ok := VariablesPlan(c.letter, c.aql, c.severity); !ok || p.Number != c.k || p.Size != c.n {
			t.Errorf("%+v: %+v", c, p)
		}
	}
}
