package kramerskronig

import (
	"encoding/csv"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"ohmledger/fit/spectrum"
)

// sweep is a spectrum at points evenly spaced in the logarithm, from the highest frequency down.
func sweep(highest, lowest float64, points int, impedance func(jw complex128) complex128) *spectrum.Spectrum {
	s := &spectrum.Spectrum{}
	for i := range points {
		f := highest * math.Pow(lowest/highest, float64(i)/float64(points-1))
		s.Frequency = append(s.Frequency, f)
		s.Impedance = append(s.Impedance, impedance(complex(0, 2*math.Pi*f)))
	}
	return s
}

// arc is 20 mΩ in series with 15 mΩ in parallel with a constant-phase element, α = 0.8, τ = 0.0125 s.
func arc(jw complex128) complex128 { return 0.020 + 0.015/(1+cmplx.Pow(jw*0.0125, 0.8)) }

// cell is a full cell: 0.2 µH + 20 mΩ + [CPE(2, 0.8) ∥ (15 mΩ + 0.0015(1−j)/√ω)].
func cell(jw complex128) complex128 {
	return lossyCell(2e-7, 1, 0.0015*math.Sqrt2, 0.5)(jw)
}

// lossyCell has leads Q_L(jω)^β and diffusion s(jω)^−γ.
func lossyCell(lead, beta, diffusion, gamma float64) func(jw complex128) complex128 {
	return func(jw complex128) complex128 {
		branch := 0.015 + complex(diffusion, 0)*cmplx.Pow(jw, complex(-gamma, 0))
		return complex(lead, 0)*cmplx.Pow(jw, complex(beta, 0)) + 0.020 + branch/(1+2*cmplx.Pow(jw, 0.8)*branch)
	}
}

// the43 points from 10 kHz to 10 mHz.
func the43(impedance func(jw complex128) complex128) *spectrum.Spectrum {
	return sweep(1e4, 1e-2, 43, impedance)
}

// changed is a copy of the spectrum with each impedance passed through a function.
func changed(s *spectrum.Spectrum, change func(i int, z complex128) complex128) *spectrum.Spectrum {
	c := &spectrum.Spectrum{Frequency: s.Frequency, Impedance: make([]complex128, len(s.Impedance))}
	for i, z := range s.Impedance {
		c.Impedance[i] = change(i, z)
	}
	return c
}

// drifting multiplies by 1 + drift·elapsed/total, each point taking three periods and a second.
func drifting(s *spectrum.Spectrum, drift float64) *spectrum.Spectrum {
	var elapsed, total float64
	for _, f := range s.Frequency {
		total += 3/f + 1
	}
	return changed(s, func(i int, z complex128) complex128 {
		elapsed += 3/s.Frequency[i] + 1
		return z * complex(1+drift*elapsed/total, 0)
	})
}

// noisy adds normal noise to both parts, its standard deviation a fraction of |Z|.
func noisy(s *spectrum.Spectrum, noise float64, random *rand.Rand) *spectrum.Spectrum {
	return changed(s, func(_ int, z complex128) complex128 {
		sd := noise * cmplx.Abs(z)
		return z + complex(sd*random.NormFloat64(), sd*random.NormFloat64())
	})
}

// measured reads the spectra of a job of the shared data, and skips the test where they are not there.
func measured(t testing.TB, job string) (names []string, spectra []*spectrum.Spectrum) {
	t.Helper()
	folder := os.Getenv("OHMLEDGER_DATA")
	if folder == "" {
		folder = filepath.Join("..", "..", "..", "shared", "data")
	}
	names, err := filepath.Glob(filepath.Join(folder, job, "spectra", "*.csv"))
	if err != nil {
		t.Fatal(err)
	}
	if len(names) == 0 {
		t.Skipf("no real spectra under %s; set OHMLEDGER_DATA to the folder that has %s", folder, job)
	}
	for _, name := range names {
		spectra = append(spectra, readNative(t, name))
	}
	return names, spectra
}

// readNative reads frequency_hz, z_real_ohm, z_imag_ohm.
func readNative(t testing.TB, name string) *spectrum.Spectrum {
	t.Helper()
	f, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	s := &spectrum.Spectrum{File: filepath.Base(name)}
	for _, row := range rows[1:] {
		var v [3]float64
		for k := range v {
			if v[k], err = strconv.ParseFloat(row[k], 64); err != nil {
				t.Fatalf("%s: %v", name, err)
			}
		}
		s.Frequency = append(s.Frequency, v[0])
		s.Impedance = append(s.Impedance, complex(v[1], v[2]))
	}
	return s
}
