package job

import (
	"errors"
	"io/fs"
	"math"
	"reflect"
	"strings"
	"testing"
	"testing/fstest"

	"golang.org/x/tools/txtar"

	"ohmledger/fit/spectrum"
)

// Whatever job.yaml holds, it is read or refused: never both, never a panic, always the same.
func FuzzReadJob(f *testing.F) {
	for _, text := range seeds(f, jobFile) {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		folder := jobWith(t, text)
		lines := strings.Count(lineEnds.Replace(text), "\n") + 1
		j := readOrRefuse(t, folder, jobFile, lines)
		if j == nil {
			return
		}
		for _, l := range j.Limits {
			if !(l.Bound > 0) || math.IsInf(l.Bound, 0) {
				t.Errorf("limit %+v", l)
			}
		}
		c := j.Conditions
		if !(c.TemperatureMinC < c.TemperatureMaxC) || c.ReferenceTemperatureC < c.TemperatureMinC || c.ReferenceTemperatureC > c.TemperatureMaxC {
			t.Errorf("conditions %+v", c)
		}
		for _, stated := range []*Stated{j.Baseline.Ohmic, j.Baseline.ChargeTransfer, j.TemperatureCorrection.Ohmic, j.TemperatureCorrection.ChargeTransfer} {
			if stated != nil && !(stated.StandardUncertainty > 0) {
				t.Errorf("stated without uncertainty: %+v", stated)
			}
		}
		// The least that job.yaml may change is the measurements.
		if plain, err := Read(jobWith(t, "{}")); err != nil || len(plain.Measurements) != len(j.Measurements) {
			t.Errorf("measurements %v", j.Measurements)
		}
	})
}

// Whatever the measurement table holds, it is read or refused; what is read is sound and in order.
func FuzzMeasurements(f *testing.F) {
	for _, text := range seeds(f, textTable) {
		f.Add([]byte(text))
	}
	rows := fullTable()
	f.Add(csv(rows, natural(len(rows[0]))))
	f.Fuzz(func(t *testing.T, table []byte) {
		folder := jobWith(t, "{}")
		folder[textTable] = &fstest.MapFile{Data: table}
		j := readOrRefuse(t, folder, textTable, strings.Count(lineEnds.Replace(string(table)), "\n")+1)
		if j == nil {
			return
		}
		finished, files := map[string]bool{}, map[string]bool{}
		for i, m := range j.Measurements {
			if i > 0 && j.Measurements[i-1].Cell != m.Cell {
				finished[j.Measurements[i-1].Cell] = true
			}
			if i > 0 && j.Measurements[i-1].Cell == m.Cell && m.MeasuredAt.Before(j.Measurements[i-1].MeasuredAt) {
				t.Errorf("%+v comes after a later one", m)
			}
			if finished[m.Cell] || files[m.File] || m.Cell == "" {
				t.Errorf("%+v stands apart from its cell or twice", m)
			}
			files[m.File] = true
			if _, err := fs.Stat(folder, m.File); err != nil {
				t.Error(err)
			}
			for _, number := range []*float64{&m.TemperatureC, &m.TemperatureUncertaintyC, m.SOCPercent, m.Cycles, m.ThroughputAh, m.CapacityAh,
				m.AmplitudeA, m.AmplitudeV, m.RestMinutes, m.OCVBeforeV, m.OCVAfterV} {
				if number != nil && (math.IsNaN(*number) || math.IsInf(*number, 0)) {
					t.Errorf("%+v holds a number that is none", m)
				}
			}
			if m.TemperatureUncertaintyC < 0 {
				t.Errorf("%+v has no uncertainty of temperature", m)
			}
		}
	})
}

// readOrRefuse reads a folder twice and holds the two and their faults against the law.
func readOrRefuse(t *testing.T, folder fstest.MapFS, file string, lines int) *Job {
	t.Helper()
	j, err := Read(folder)
	again, errAgain := Read(folder)
	if !reflect.DeepEqual(j, again) || !reflect.DeepEqual(err, errAgain) {
		t.Fatalf("read twice, differently:\n%+v %v\n%+v %v", j, err, again, errAgain)
	}
	if err == nil {
		if j == nil || len(j.Measurements) == 0 || len(j.Sources) != 2 {
			t.Fatalf("neither job nor error: %+v", j)
		}
		return j
	}
	var faults spectrum.Errors
	if j != nil || !errors.As(err, &faults) || len(faults) == 0 {
		t.Fatalf("job %v with error %T %v", j, err, err)
	}
	for _, e := range faults {
		if e.File != file && e.File != jobFile || e.Line < 0 || e.Line > lines || e.Message == "" {
			t.Errorf("fault %+v, of %d lines", e, lines)
		}
	}
	return nil
}

// seeds are the starter's file and those of the golden faults.
func seeds(f *testing.F, name string) []string {
	text, err := fs.ReadFile(starter(f), name)
	if err != nil {
		f.Fatal(err)
	}
	archive, err := txtar.ParseFile(faultsFile)
	if err != nil {
		f.Fatal(err)
	}
	all := []string{string(text)}
	for _, file := range archive.Files {
		if strings.HasSuffix(file.Name, "/"+name) {
			all = append(all, string(file.Data))
		}
	}
	return all
}
