package report

import (
	"os"
	"reflect"
	"testing"
	"testing/fstest"
	"time"

	"ohmledger/health"
	"ohmledger/health/job"
)

func TestNewListsInputsOnce(t *testing.T) {
	a := &health.Assessment{
		Job: &job.Job{Language: "en", Sources: []job.Source{{File: "job.yaml", SHA256: "1", Bytes: 10}, {File: "measurements.csv", SHA256: "2", Bytes: 20}}},
		Cells: health.CellsOf([]health.Cell{
			{Name: "a", Measurements: []health.Measurement{{Row: &job.Measurement{File: "spectra/a1.csv"}, SHA256: "3"}, {Row: &job.Measurement{File: "spectra/a2.csv"}, SHA256: "4"}}},
			{Name: "b", Measurements: []health.Measurement{{Row: &job.Measurement{File: "spectra/a1.csv"}, SHA256: "3"}}},
		}),
	}
	own := fstest.MapFS{"own.tmpl": {Data: []byte(`{{define "and"}}&{{end}}`)}}
	d, err := New(a, Options{Templates: os.DirFS("../templates"), Overrides: own, OverridesName: "house"})
	if err != nil {
		t.Fatal(err)
	}
	var files []string
	for _, s := range d.Inputs {
		files = append(files, s.File)
	}
	if want := []string{"job.yaml", "measurements.csv", "spectra/a1.csv", "spectra/a2.csv", "house/own.tmpl"}; !reflect.DeepEqual(files, want) {
		t.Errorf("%q, want %q", files, want)
	}
	want := job.Source{File: "house/own.tmpl", SHA256: "dae36905c572d40eb2bf78c3dc1e6e456131c3ab3bdee832b48a30238db52ee0", Bytes: 24} // sha256sum
	if got := d.Inputs[4]; got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
}

func TestBlank(t *testing.T) {
	j := &job.Job{}
	if got := len(blank(j)); got != 13 {
		t.Errorf("%d keys of an empty job are blank, want all 13", got)
	}
	day := time.Date(2026, 3, 14, 0, 0, 0, 0, time.UTC)
	j.Report = job.Report{Number: "R-1", Title: "t", Issued: day, Item: "cells", Received: day, Tested: "March", AuthorisedBy: "N. N.",
		Customer: job.Customer{Name: "c", Address: "a"}}
	j.Laboratory = job.Laboratory{Name: "l"}
	j.Cell.Model, j.Instrument.Name = "m", "i"
	if got := blank(j); !reflect.DeepEqual(got, []string{"laboratory.address"}) {
		t.Errorf("%q", got)
	}
}
