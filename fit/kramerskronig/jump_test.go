package kramerskronig

import (
	"math"
	"testing"
)

// A contact that moves in mid-sweep adds to the real part from there on; a range that is changed multiplies. How small may it be, and
// is it found where it is?
func TestJumpIsFoundAndSized(t *testing.T) {
	for _, c := range []struct {
		size  float64
		least int // of 40 that must be found
	}{{0.003, 0}, {0.01, 20}, {0.02, 38}, {0.05, 40}, {0.20, 40}} {
		random := seeded(31)
		found, sum := 0, 0.0
		for k := range 40 {
			s := noisy(randomCell(random), 0.001, random)
			at := besideJump + 2 + random.IntN(len(s.Frequency)-2*besideJump-4)
			unit := s.Impedance[at]
			jumped := changed(s, func(i int, z complex128) complex128 {
				switch {
				case i < at:
					return z
				case k%2 == 0:
					return z * complex(1+c.size, 0)
				}
				return z + complex(c.size*math.Hypot(real(unit), imag(unit)), 0)
			})
			if jumps := Test(jumped).Jumps; len(jumps) > 0 && math.Abs(float64(jumps[0].Index-at)) <= 1 {
				found++
				sum += jumps[0].Change
			}
		}
		t.Logf("jump of %4.1f %%: found in %d of 40, mean size %.2f %%", 100*c.size, found, 100*sum/math.Max(1, float64(found)))
		if found < c.least || found > 20 && math.Abs(sum/float64(found)/c.size-1) > 0.2 {
			t.Errorf("jump of %v: found in %d, mean size %v", c.size, found, sum/float64(found))
		}
	}
}

// Sound spectra of every kind and noise jump by no more than noise, or the jump explains little.
func TestNoJumpsInSoundSpectra(t *testing.T) {
	random := seeded(32)
	for range 200 {
		noise := 0.0002 * math.Pow(50, random.Float64())
		r := Test(noisy(randomCell(random), noise, random))
		if len(r.Jumps) > 0 && r.Jumps[0].Share > 0.4 && math.Abs(r.Jumps[0].Change) > 0.01 {
			t.Errorf("noise %v: %+v", noise, r.Jumps)
		}
	}
}
