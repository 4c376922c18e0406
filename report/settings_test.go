package report_test

import (
	"testing"

	"ohmledger/report"
	"ohmledger/report/internal/specimen"
)

func TestSettings(t *testing.T) {
	list := report.Settings(specimen.Assessment(specimen.Rules[1]).Job)
	want := map[string]report.Setting{
		"conditions.reference_temperature_c":                        {Value: 25.0},
		"conditions.temperature_range_c[2]":                         {Value: 35.0},
		"conditions.min_rest_minutes":                               {Value: 30.0, Default: true},
		"temperature_correction.ohmic.activation_energy_kj_per_mol": {Value: 12.0},
		"limits[1].quantity":                                        {Value: "charge_transfer_growth"},
		"limits[1].max":                                             {Value: 2.0},
		"decision_rule.kind":                                        {Value: "guarded"},
		"sampling":                                                  {Value: nil},
		"baseline.source":                                           {Value: "first"},
		"cell.format":                                               {Value: "21700"},
		"fixture_correction":                                        {Value: nil},
		"grades[2].limits[1].max":                                   {Value: 2.0},
	}
	seen := map[string]bool{}
	for _, s := range list {
		if seen[s.Key] {
			t.Errorf("%s is listed twice", s.Key)
		}
		seen[s.Key] = true
		if w, ok := want[s.Key]; ok && (w.Value != s.Value || w.Default != s.Default) {
			t.Errorf("%s is %v (default %v), want %v (%v)", s.Key, s.Value, s.Default, w.Value, w.Default)
		}
	}
	for key := range want {
		if !seen[key] {
			t.Errorf("%s is missing", key)
		}
	}
	if list[0].Key != "cell.maker" {
		t.Errorf("the first setting is %s", list[0].Key)
	}
}
