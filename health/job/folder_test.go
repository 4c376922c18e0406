package job

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"golang.org/x/text/encoding/unicode"

	"ohmledger/fit/spectrum"
)

// Folders whose faults no text shows, with what is said of each.
func TestOddFolders(t *testing.T) {
	utf16, err := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewEncoder().String("language: en\n")
	if err != nil {
		t.Fatal(err)
	}
	file := func(text string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(text)} }
	cases := []struct {
		name   string
		change func(fstest.MapFS)
	}{
		{"nothing there", func(f fstest.MapFS) { clear(f) }},
		{"both tables", func(f fstest.MapFS) { f[bookTable] = file("PK") }},
		{"table in capitals", func(f fstest.MapFS) { f["Measurements.CSV"] = f[textTable]; delete(f, textTable) }},
		{"table is a folder", func(f fstest.MapFS) { f[textTable+"/x"] = file(""); delete(f, textTable) }},
		{"table too large", func(f fstest.MapFS) { f[textTable] = file(strings.Repeat("#\n", maxTableBytes/2+1)) }},
		{"job.yaml is a folder", func(f fstest.MapFS) { f[jobFile+"/x"] = file(""); delete(f, jobFile) }},
		{"job.yaml is a pipe", func(f fstest.MapFS) { f[jobFile] = &fstest.MapFile{Mode: fs.ModeNamedPipe} }},
		{"job.yaml too large", func(f fstest.MapFS) { f[jobFile] = file("# " + strings.Repeat("x", maxBytes)) }},
		{"job.yaml in UTF-16", func(f fstest.MapFS) { f[jobFile] = file(utf16) }},
		{"job.yaml in Latin-1", func(f fstest.MapFS) { f[jobFile] = file("report:\n  title: Zellpr\xfcfung\n") }},
		{"NUL byte", func(f fstest.MapFS) { f[jobFile] = file("language: e\x00n\n") }},
		{"control character", func(f fstest.MapFS) { f[jobFile] = file("language: en\n# \x1b[31m\n") }},
		{"endless blank lines", func(f fstest.MapFS) { f[jobFile] = file("language: |" + strings.Repeat("\r", 1000)) }},
		{"deep brackets", func(f fstest.MapFS) { f[jobFile] = file("limits: " + strings.Repeat("[", 10_000)) }},
		{"deep dashes", func(f fstest.MapFS) { f[jobFile] = file("limits: \n" + strings.Repeat("- ", 10_000)) }},
		{"too many words", func(f fstest.MapFS) { f[jobFile] = file(strings.Repeat("a: b\n", 100_000)) }},
		{"spectrum is a pipe", func(f fstest.MapFS) { f["spectra/A1.csv"] = &fstest.MapFile{Mode: fs.ModeNamedPipe} }},
		{"name in the other Unicode form", func(f fstest.MapFS) {
			f["spectra/U\u0308.csv"] = file(soundSpectrum)
			f[textTable] = file(strings.Replace(soundTable, "A1.csv", "\u00dc.csv", 1))
		}},
	}
	var text bytes.Buffer
	for _, c := range cases {
		folder := jobWith(t, "language: en\n")
		c.change(folder)
		text.WriteString("-- " + c.name + " --\n" + says(t, folder))
	}
	golden(t, "testdata/odd_folders.golden", text.Bytes())
}

// Nothing outside the job folder is reached, and links within it serve.
func TestLinks(t *testing.T) {
	outside, inside := t.TempDir(), t.TempDir()
	write := func(name, text string) {
		t.Helper()
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	link := func(target, name string) {
		t.Helper()
		if err := os.Symlink(target, filepath.Join(inside, name)); err != nil {
			t.Skipf("links cannot be made here: %v", err)
		}
	}
	write(filepath.Join(outside, "A1.csv"), soundSpectrum)
	write(filepath.Join(inside, "spectra/A2.csv"), soundSpectrum)
	write(filepath.Join(inside, jobFile), "language: en\n")
	write(filepath.Join(inside, textTable), "cell,file,measured_at,temperature_c\nA1,spectra/A1.csv,2026-03-01,25\nA2,spectra/A3.csv,2026-03-01,25\nA4,lot/A1.csv,2026-03-01,25\n")
	link(filepath.Join(outside, "A1.csv"), "spectra/A1.csv")
	link("A2.csv", "spectra/A3.csv")
	link(outside, "lot")
	root, err := os.OpenRoot(inside)
	if err != nil {
		t.Fatal(err)
	}
	defer root.Close()
	_, err = Read(root.FS())
	var faults spectrum.Errors
	if !errors.As(err, &faults) || len(faults) != 2 || faults[0].Line != 2 || faults[1].Line != 4 {
		t.Fatalf("faults are %v", err)
	}
	for _, fault := range faults {
		if !strings.Contains(fault.Message, "link that leads out of the job folder") {
			t.Error(fault)
		}
	}
}

// A spectrum that vanished after reading, or is damaged, is an error of its own.
func TestSpectrumErrors(t *testing.T) {
	folder := jobWith(t, "fixture_correction: {file: spectra/shorted.csv}")
	j, err := Read(folder)
	if err != nil {
		t.Fatal(err)
	}
	if s, source, err := j.Fixture(folder); err != nil || len(s.Frequency) != 4 || source.Bytes != len(soundSpectrum) {
		t.Errorf("fixture %v, %v, %v", s, source, err)
	}
	delete(folder, "spectra/A1.csv")
	folder["spectra/A2.csv"] = &fstest.MapFile{Data: []byte("frequency_hz\n1\n")}
	for _, m := range j.Measurements {
		s, source, err := j.Spectrum(folder, m)
		var faults spectrum.Errors
		if !errors.As(err, &faults) || s != nil || source != (Source{}) || faults[0].File != m.File {
			t.Errorf("%s: %v %v %v", m.File, s, source, err)
		}
	}
}
