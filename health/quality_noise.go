package health

import (
	"math"
	"slices"

	"ohmledger/fit/kramerskronig"
)

// noise is the standard deviation of a part, as a fraction of |Z|, without what single points and a drift add to it.
func (v *sight) noise() float64 {
	return v.kk.NoisePercent / 100 * math.Sqrt(1-min(max(v.strayShare(), v.jumpsShare(), v.kk.Drift.Share), 0.99))
}

func seeNoise(v *sight) []Fact {
	if v.kk == nil || v.violated() || seeTwoSweeps(v) != nil {
		return nothing
	}
	noise, s := v.noise(), v.spectrum
	from, to := s.Frequency[0], s.Frequency[len(s.Frequency)-1]
	if d := v.noisyStretch(); d != nil {
		noise, from, to = d.RMSResidual, d.FromHz, d.ToHz
	} else if noise <= noisy || v.kk.RunsZ < structured {
		return nothing
	}
	return seen(number("noise", noise, Fraction), number("from", from, Hertz), number("to", to, Hertz))
}

// noisyStretch is a decade that scatters far more than the others; nil where there is none. Mains, a drift and a jump have reasons
// of their own.
func (v *sight) noisyStretch() *kramerskronig.Decade {
	picked, scattered, _ := v.sorted()
	if len(picked) > 0 || v.drifted() || v.leaps() {
		return nil
	}
	sizes := make([]float64, len(v.kk.Decades))
	for i, d := range v.kk.Decades {
		sizes[i] = d.RMSResidual
	}
	for i, d := range v.kk.Decades {
		strays := slices.ContainsFunc(scattered, func(o stray) bool { return o.hz <= d.FromHz && o.hz >= d.ToHz })
		if d.RMSResidual > noisyDecade && (strays || d.RMSResidual > loudDecade*typical(sizes)) && v.scatters(d) {
			return &v.kk.Decades[i]
		}
	}
	return nil
}

// scatters reports whether the residuals of a decade are noise: many points have their part in them, and signs change as chance
// has it, half of the time. A bent curve changes them seldom, and a stray point is one.
func (v *sight) scatters(d kramerskronig.Decade) bool {
	changes, pairs, sum, most := 0, 0, 0.0, 0.0
	for i, e := range v.kk.Residuals {
		f := v.spectrum.Frequency
		if f[i] > d.FromHz || f[i] < d.ToHz {
			continue
		}
		square := real(e)*real(e) + imag(e)*imag(e)
		sum, most = sum+square, max(most, square)
		if i == 0 || f[i-1] > d.FromHz {
			continue
		}
		pairs += 2
		for _, product := range [...]float64{real(e) * real(v.kk.Residuals[i-1]), imag(e) * imag(v.kk.Residuals[i-1])} {
			if product < 0 {
				changes++
			}
		}
	}
	return pairs >= 6 && 4*changes >= pairs && most < mostOfOne*sum
}
