package fit

import (
	"encoding/json"
	"fmt"
	"math"
)

// Value is an estimate with its standard uncertainty, both in the unit that the
// holder states. The zero Value means "not had": it is never a certain zero.
type Value struct {
	estimate float64
	flipped  uint64 // bits of the standard uncertainty, each the other way round: 0 is no uncertainty's and says "not had"
}

// NewValue returns the estimate with its standard uncertainty. It panics where
// either is not finite or the uncertainty is negative: a caller that may meet such
// numbers keeps the zero Value instead.
func NewValue(estimate, standardUncertainty float64) Value {
	if math.IsNaN(estimate) || math.IsInf(estimate, 0) || !(standardUncertainty >= 0) || math.IsInf(standardUncertainty, 0) {
		panic(fmt.Sprintf("fit: no value can be made of %v with standard uncertainty %v", estimate, standardUncertainty))
	}
	return Value{estimate, ^math.Float64bits(math.Abs(standardUncertainty))} // the zero below zero is zero
}

// Known reports whether there is a value at all.
func (v Value) Known() bool { return v.flipped != 0 }

// Estimate is the value itself, NaN where there is none.
func (v Value) Estimate() float64 {
	if !v.Known() {
		return math.NaN()
	}
	return v.estimate
}

// StandardUncertainty is u of JCGM 100:2008, 2.3.1, NaN where there is no value.
func (v Value) StandardUncertainty() float64 {
	if !v.Known() {
		return math.NaN()
	}
	return math.Float64frombits(^v.flipped)
}

// Relative is the standard uncertainty over the size of the estimate.
func (v Value) Relative() float64 { return v.StandardUncertainty() / math.Abs(v.Estimate()) }

// Scale returns the value in a unit that is 1/factor as large.
func (v Value) Scale(factor float64) Value {
	if !v.Known() {
		return Value{}
	}
	return NewValue(v.estimate*factor, v.StandardUncertainty()*math.Abs(factor))
}

// MarshalJSON writes {"value":…,"standard_uncertainty":…}, or null where there is none.
func (v Value) MarshalJSON() ([]byte, error) {
	if !v.Known() {
		return []byte("null"), nil
	}
	return json.Marshal(struct {
		Value               float64 `json:"value"`
		StandardUncertainty float64 `json:"standard_uncertainty"`
	}{v.estimate, v.StandardUncertainty()})
}
