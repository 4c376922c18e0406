package report_test

import (
	"encoding/json"
	"strings"
	"testing"

	"ohmledger/fit"
	"ohmledger/report"
)

// An interval that does not lie evenly about its value is said in words and held in results.json.
func TestIntervalsOfDoubtfulResistances(t *testing.T) {
	a := full()
	var got struct {
		Cells []struct {
			Measurements []struct {
				Fit struct {
					Intervals_95 []struct {
						Quantity     string
						Lower, Upper float64
					}
				}
			}
		}
	}
	if err := json.Unmarshal(results(t, a), &got); err != nil {
		t.Fatal(err)
	}
	seen := 0
	for i, c := range a.Cells.All() {
		for k, m := range c.Measurements {
			list := got.Cells[i].Measurements[k].Fit.Intervals_95
			if m.Fit == nil || len(list) != len(m.Fit.Intervals) {
				t.Fatalf("%s %d: %v", c.Name, k, list)
			}
			for _, held := range list {
				seen++
				if want := m.Fit.Intervals[fit.Film]; held.Quantity != "film_ohm" || held.Lower != want.Lower || held.Upper != want.Upper {
					t.Errorf("%+v, want %+v", held, want)
				}
			}
		}
	}
	if seen == 0 {
		t.Error("no interval seen")
	}
	r := &fit.Result{Film: fit.NewValue(0.004, 0.0004), Intervals: map[fit.Element]fit.Interval{fit.Film: {Lower: 0.0033, Upper: 0.0052}}}
	said := strings.Join(report.FitIntervals(document(t, a).Words, r), "|")
	if !strings.Contains(said, "film resistance") || !strings.Contains(said, "3.30 … 5.20") {
		t.Errorf("%q", said)
	}
}
