package pdf

import (
	"slices"
	"strings"
	"testing"

	"ohmledger/health/job"
)

// The settings in force name what the lot was sampled, graded and grouped by.
func TestSettingsOfALot(t *testing.T) {
	d := delivery(t)
	d.Assessment.Cells = d.Assessment.Cells.Between(0, 20)
	d.Assessment.Job.Defaulted = append(d.Assessment.Job.Defaulted, "sampling.level")
	all := strings.Join(pagesOf(t, bytesOf(t, Options{Cells: NoCells}, d)), " ")
	for _, want := range []string{"Lot divided by column pallet", "Sampling, inspection by attributes", "Sampling, lot size 1000", "Sampling, AQL 1", "Sampling, severity normal",
		"Matching, cells a group 14", "Matching, connection in series", "Matching, within grades yes"} {
		if !strings.Contains(all, want) {
			t.Errorf("%q not found", want)
		}
	}
	var keys []string
	for _, s := range compositionOf(t, d).inForce() {
		keys = append(keys, s.key)
	}
	if grades := slices.DeleteFunc(slices.Clone(keys), func(k string) bool { return k != "grades" }); len(grades) != 2 || slices.Index(keys, "grouping.by") < 0 {
		t.Errorf("%q", keys)
	}
}

// The column that divides a lot is used.
func TestDividingColumnIsUsed(t *testing.T) {
	j := &job.Job{GroupBy: "pallet", ExtraColumns: []string{"shelf", "pallet"}}
	if got := unusedColumns(j); !slices.Equal(got, []string{"shelf"}) {
		t.Errorf("%q", got)
	}
	j.GroupBy = ""
	if got := unusedColumns(j); len(got) != 2 {
		t.Errorf("%q", got)
	}
}
