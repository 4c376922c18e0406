package job

import (
	"errors"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"golang.org/x/tools/txtar"

	"ohmledger/fit/spectrum"
)

const faultsFile = "testdata/faults.txtar"

// Every kind of fault, with the messages that a technician gets.
func TestFaults(t *testing.T) {
	archive, err := txtar.ParseFile(faultsFile)
	if err != nil {
		t.Fatal(err)
	}
	folder := jobWith(t, "")
	folder[jobFile] = &fstest.MapFile{Data: []byte("language: en\n")}
	changed := clone(folder)
	for i, file := range archive.Files {
		name, part, _ := strings.Cut(file.Name, "/")
		if part != "says" {
			changed[part] = &fstest.MapFile{Data: file.Data}
			continue
		}
		got := says(t, changed)
		changed = clone(folder)
		if *update {
			archive.Files[i].Data = []byte(got)
		} else if got != string(file.Data) {
			t.Errorf("%s: said is\n%s", name, got)
		}
	}
	if *update {
		if err := os.WriteFile(faultsFile, txtar.Format(archive), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// says is what Read says of a folder that has faults.
func says(t *testing.T, folder fstest.MapFS) string {
	t.Helper()
	j, err := Read(folder)
	var faults spectrum.Errors
	if !errors.As(err, &faults) || j != nil {
		t.Fatalf("error %T %v and job %v", err, err, j)
	}
	return faults.Error() + "\n"
}

func clone(folder fstest.MapFS) fstest.MapFS {
	other := fstest.MapFS{}
	for name, file := range folder {
		other[name] = file
	}
	return other
}
