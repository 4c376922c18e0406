package health

import "ohmledger/fit/spectrum"

// past is what a check may know of the cell's other measurements.
type past struct {
	*specimen
	index   int
	twin    *twin
	growing func(i int, r resistance) outcome // growths of the cell's measurements; nil where there is no baseline yet
	// changing is the change of ln R from one of them to another at one temperature, with its standard uncertainty; beside growing
	changing func(from, to int, r resistance) (change, u float64, ok bool)
}

// others is the median of a figure over the cell's other spectra; 0 where there are none.
func (p *past) others(figure func(*spectrum.Spectrum) float64) float64 {
	if p == nil {
		return 0
	}
	var list []float64
	for i := range p.Measurements {
		if x := figure(p.Measurements[i].Spectrum); i != p.index && x != 0 {
			list = append(list, x)
		}
	}
	return typical(list)
}
