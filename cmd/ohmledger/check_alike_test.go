package main

import (
	"fmt"
	"strings"
	"testing"
)

func TestSizesOfOneKindAreARange(t *testing.T) {
	for want, texts := range map[string][]string{
		"up to 0.4…12\u00a0% of 3\u00a0mΩ":          {"up to 3.1\u00a0% of 3\u00a0mΩ", "up to 12\u00a0% of 3\u00a0mΩ", "up to 0.4\u00a0% of 3\u00a0mΩ"},
		"um −3,5…+2,25\u00a0% seit A1":              {"um −1\u00a0% seit A1", "um −3,5\u00a0% seit A1", "um +2,25\u00a0% seit A1"},
		"on 2026-03-02 in A2-7, at 50\u00a0Hz once": {"on 2026-03-02 in A2-7, at 50\u00a0Hz once", "on 2026-03-02 in A2-7, at 50\u00a0Hz once"},
	} {
		if got := ranged(texts); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	for a, b := range map[string]string{"in A1 by 3\u00a0%": "in A2 by 3\u00a0%", "on 2026-03-02": "on 2026-03-03", "3\u00a0mΩ": "3\u00a0µΩ"} {
		if outline(a) == outline(b) {
			t.Errorf("%q and %q are taken for one", a, b)
		}
	}
}

// Spectra measured with amplitudes that are each a little too large are told of once, with the range of what that does.
func TestCheckJobTellsSizesTogether(t *testing.T) {
	t.Chdir(t.TempDir())
	files, rows := map[string]bench{}, []string{"cell,file,measured_at,temperature_c,soc_percent,sensing,control,amplitude_a,rest_minutes"}
	for i, amplitude := range []float64{0.36, 0.38, 0.4, 0.42, 0.44} {
		name := fmt.Sprintf("spectra/a%d.csv", i)
		files[name] = bench{noise: 1e-3, seed: uint64(i)}
		rows = append(rows, fmt.Sprintf("A%d,%s,2026-03-02,25,50,4-wire,galvanostatic,%g,120", i, name, amplitude))
	}
	measured(t, "job", files)
	keep(t, "job/job.yaml", []byte("cell: {nominal_capacity_ah: 2.6}\nconditions: {soc_percent: 50, min_rest_minutes: 30}\n"))
	keep(t, "job/measurements.csv", []byte(strings.Join(rows, "\n")+"\n"))
	out, _ := checking(t, exitDone, "job")
	says(t, out, `the arc reads up to \d[.\d]*…\d[.\d]*.% too small`, "- 2 more spectra")
	if n := strings.Count(out, "too small"); n != 1 {
		t.Errorf("told of %d times:\n%s", n, out)
	}
}
