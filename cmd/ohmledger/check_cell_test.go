package main

import (
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"
)

// bench is a measurement made up for these tests: a cell, what its leads add, and what goes wrong.
type bench struct {
	leadsOhm, leadsH float64
	arc              float64 // of the charge-transfer resistance, over that of the new cell; 0: 1
	noise            float64 // of |Z|, in each part, standard deviation
	drift            float64 // growth of |Z| during the sweep, a point taking three periods and a second
	mains            bool    // pick-up of 50 Hz
	reversed         bool    // the sign of the imaginary part
	lowest           float64 // Hz; 0: 0.01
	seed             uint64
}

// cellImpedance is a full cell in ohm: 20 mΩ and 0.2 µH beside an arc of 15 mΩ with a constant-phase element of 2 S·s^0.8 and a
// Warburg element of 1.5 mΩ/√s.
func cellImpedance(hz, arc float64) complex128 {
	jw := complex(0, 2*math.Pi*hz)
	faradaic := complex(0.015*arc, 0) + complex(0.0015, 0)*(1-1i)/cmplx.Sqrt(complex(2*math.Pi*hz, 0))
	return jw*0.2e-6 + 0.020 + 1/(2*cmplx.Pow(jw, 0.8)+1/faradaic)
}

// TestCellImpedance holds the cell of these tests against the published values of its elements' laws: the vector of a cell with
// these parameters, computed to 12 digits from the definitions of constant-phase and Warburg element.
func TestCellImpedance(t *testing.T) {
	for hz, want := range map[float64]complex128{
		0.01: 0.0409045571559 - 0.00605075348342i, 1: 0.0346134653283 - 0.00234971347284i,
		100: 0.0212496888470 - 0.00224993169006i, 10000: 0.0200226903170 + 0.0124976120983i,
	} {
		if got := cellImpedance(hz, 1); cmplx.Abs(got-want) > 1e-13 {
			t.Errorf("%g Hz: %v, want %v", hz, got, want)
		}
	}
}

// sweep is what the bench measures, ten points a decade from 10 kHz down.
func (b bench) sweep() (frequency []float64, impedance []complex128) {
	if b.lowest == 0 {
		b.lowest = 0.01
	}
	random := rand.New(rand.NewPCG(b.seed, 4))
	elapsed := 0.
	for hz := 1e4; hz > b.lowest*0.999; hz /= math.Pow(10, 0.1) {
		arc := b.arc
		if arc == 0 {
			arc = 1
		}
		elapsed += 3/hz + 1
		z := cellImpedance(hz, arc) + complex(b.leadsOhm, 2*math.Pi*hz*b.leadsH)
		z *= complex(1+b.drift*elapsed/1500, 0) // of some 1500 s that the whole sweep takes
		z *= 1 + complex(b.noise*random.NormFloat64(), b.noise*random.NormFloat64())
		if b.mains && math.Abs(hz/50-1) < 0.1 {
			z *= 1 + 0.1i
		}
		if b.reversed {
			z = cmplx.Conj(z)
		}
		frequency, impedance = append(frequency, hz), append(impedance, z)
	}
	return frequency, impedance
}

// text is the sweep as a file, by its headings.
func (b bench) text(headings string) []byte {
	var text strings.Builder
	fmt.Fprintln(&text, headings)
	frequency, impedance := b.sweep()
	for i, z := range impedance {
		fmt.Fprintf(&text, "%.6g,%.8g,%.8g\n", frequency[i], real(z), imag(z))
	}
	return []byte(text.String())
}

const nativeHeadings = "frequency_hz,z_real_ohm,z_imag_ohm"

// measured writes sweeps as files into a folder and gives their names.
func measured(t testing.TB, folder string, benches map[string]bench) {
	t.Helper()
	for name, b := range benches {
		keep(t, filepath.Join(folder, name), b.text(nativeHeadings))
	}
}
