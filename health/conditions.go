package health

import (
	"math"
)

// socApart reports whether two states of charge, both known, differ by more than the tolerance, in percent.
func socApart(a, b *float64, tolerance float64) bool {
	// Percentages are written in decimals: 55 and 50 differ by the 5 that they are written to differ by.
	const rounding = 1e-9
	return a != nil && b != nil && math.Abs(*a-*b) > tolerance+rounding
}

// meanTemperature of some of a cell's measurements, °C, with its standard uncertainty; the readings are independent.
func (s *specimen) meanTemperature(indices []int) (celsius, uncertainty float64) {
	n := float64(len(indices))
	for _, i := range indices {
		row := s.Measurements[i].Row
		celsius += row.TemperatureC / n
		uncertainty = math.Hypot(uncertainty, row.TemperatureUncertaintyC/n)
	}
	return celsius, uncertainty
}

// meanSOC of some of a cell's measurements in percent, nil where one of them is not known.
func (s *specimen) meanSOC(indices []int) *float64 {
	mean := 0.0
	for _, i := range indices {
		soc := s.Measurements[i].Row.SOCPercent
		if soc == nil {
			return nil
		}
		mean += *soc / float64(len(indices))
	}
	return &mean
}

// common is what all of some measurements have alike, empty where they differ.
func (s *specimen) common(indices []int, of func(*Measurement) string) string {
	value := of(&s.Measurements[indices[0]])
	for _, i := range indices[1:] {
		if of(&s.Measurements[i]) != value {
			return ""
		}
	}
	return value
}
