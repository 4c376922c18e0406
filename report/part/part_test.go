package part

import (
	"bytes"
	"errors"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
)

// Nothing in a part is left out that is not known to be derived; kept panics otherwise.
func TestAllOfAPartIsWritten(t *testing.T) {
	if a, b := contentShape(), contentShape(); a != b || len(a) != 32 {
		t.Errorf("%q, then %q", a, b)
	}
}

var maker1 = report.Tool{Name: "ohmledger", Version: "1"}

// parted are the parts of a job with so many cells, which nobody judged.
func parted(t *testing.T, cells, of int) (parts []*Part) {
	t.Helper()
	j := &job.Job{Language: "en", Sources: []job.Source{{File: "job.yaml", SHA256: "1"}, {File: "measurements.csv", SHA256: "2"}}}
	for i := range cells {
		name := string(rune('a' + i))
		j.Measurements = append(j.Measurements, job.Measurement{Cell: name, File: name + ".csv"})
		j.Sources = append(j.Sources, job.Source{File: name + ".csv", SHA256: name})
	}
	for n := 1; n <= of; n++ {
		share := health.Share{Number: n, Of: of}
		var list []health.Cell
		for i, to := share.Cells(cells); i < to; i++ {
			m := j.Measurements[i]
			list = append(list, health.Cell{Name: m.Cell, Latest: -1, Measurements: []health.Measurement{{Row: &m, SHA256: m.Cell}}})
		}
		a := &health.Assessment{Job: j, Cells: health.CellsOf(list)}
		p, err := New(Ingredients{Share: share, Tool: maker1, Assessment: a, Cells: cells,
			Sentences: fstest.MapFS{"own.tmpl": {Data: []byte(`{{define "verdict.pass"}}fit for use{{end}}`)}}, Folder: "house"})
		if err != nil {
			t.Fatal(err)
		}
		p.Name = "part " + string(rune('0'+n))
		parts = append(parts, p)
	}
	return parts
}

func TestWholeOfParts(t *testing.T) {
	parts := parted(t, 5, 3)
	for i, p := range parts {
		var b bytes.Buffer
		if err := Write(&b, p); err != nil {
			t.Fatal(err)
		}
		read, err := Read(bytes.NewReader(b.Bytes()), p.Name, maker1)
		if err != nil {
			t.Fatal(err)
		}
		parts[i] = read
	}
	slices.Reverse(parts)
	d, _, err := Whole(parts, os.DirFS("../../templates"))
	if err != nil {
		t.Fatal(err)
	}
	var names, inputs []string
	for i, c := range d.Assessment.Cells.All() {
		names = append(names, c.Name)
		if m := d.Assessment.Job.Measurements[i]; m.File != c.Name+".csv" {
			t.Errorf("measurement %d is %s", i, m.File)
		}
	}
	for _, s := range d.Inputs {
		inputs = append(inputs, s.File)
	}
	if got := strings.Join(names, " "); got != "a b c d e" {
		t.Errorf("cells %s", got)
	}
	if got := strings.Join(inputs, " "); got != "job.yaml measurements.csv a.csv b.csv c.csv d.csv e.csv house/own.tmpl" {
		t.Errorf("inputs %s", got)
	}
	if got := d.Words.Say("verdict.pass", nil); got != "fit for use" {
		t.Errorf("own sentences say %q", got)
	}
}

func TestPartsThatAreNone(t *testing.T) {
	three, two, other := parted(t, 5, 3), parted(t, 5, 2), parted(t, 6, 3)
	short := *three[2]
	short.Judged = health.Cells{}
	for want, parts := range map[string][]*Part{
		"there are no parts":      nil,
		"different jobs":          {three[0], three[1], other[2]},
		"part 1 is a part of 3":   {three[0], two[1]},
		"are both part 2 of 3":    {three[0], three[1], three[1], three[2]},
		"3 parts of the report 2": {three[0], three[2]},
		"has 0 cells where":       {three[0], three[1], &short},
	} {
		_, _, err := Whole(parts, os.DirFS("../../templates"))
		if fault := new(Fault); !errors.As(err, &fault) || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

func TestFilesThatAreNone(t *testing.T) {
	var b bytes.Buffer
	if err := Write(&b, parted(t, 3, 1)[0]); err != nil {
		t.Fatal(err)
	}
	whole := b.Bytes()
	changed := slices.Clone(whole)
	changed[len(changed)/2] ^= 1
	otherBuild := maker1
	otherBuild.Build = "abc"
	for _, c := range []struct {
		want  string
		bytes []byte
		tool  report.Tool
	}{
		{"is no part", nil, maker1}, {"is no part", []byte("{}"), maker1}, {"is no part", []byte(magic), maker1}, {"is no part", []byte(magic + "{\n"), maker1},
		{"damaged", whole[:len(whole)-1], maker1}, {"damaged", whole[:len(whole)/2], maker1}, {"damaged", changed, maker1}, {"damaged", append(slices.Clone(whole), 0), maker1},
		{"was made by ohmledger 1, and this is ohmledger 1, build abc", whole, otherBuild},
	} {
		p, err := Read(bytes.NewReader(c.bytes), "x", c.tool)
		if fault := new(Fault); p != nil || !errors.As(err, &fault) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v, want %q", err, c.want)
		}
	}
}
