package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"runtime/debug"
	"strings"
	"testing"
	"testing/fstest"

	"ohmledger/health"
	"ohmledger/report"
	"ohmledger/report/pdf"
)

// starterFolder is a job in memory that a test may spoil.
func starterFolder(t *testing.T) fstest.MapFS {
	t.Helper()
	files, err := starter()
	if err != nil {
		t.Fatal(err)
	}
	folder := fstest.MapFS{}
	for _, f := range files {
		folder[f.name] = &fstest.MapFile{Data: f.data}
	}
	return folder
}

func TestCancelledWorkIsAbandoned(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, _, err := order{}.judged(ctx, starterFolder(t), &meter{})
	if err = interrupted(err); err == nil || !strings.Contains(err.Error(), "interrupted; nothing was written") || exitCode(err) != exitBroken {
		t.Errorf("got %v", err)
	}
}

// Whoever interrupts does not wait for work that does not look up; a panic of such work is an error.
func TestInterruptedWorkIsNotWaitedFor(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	begun, never := make(chan struct{}), make(chan struct{})
	defer close(never)
	go func() {
		<-begun
		cancel()
	}()
	if _, err := promptly(ctx, func() (int, error) {
		close(begun)
		<-never
		return 1, nil
	}); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
	if n, err := promptly(t.Context(), func() (int, error) { return 7, nil }); n != 7 || err != nil {
		t.Errorf("got %v, %v", n, err)
	}
	if _, err := promptly(t.Context(), func() (int, error) { panic("no such cell") }); err == nil || !strings.Contains(err.Error(), "please report it") {
		t.Errorf("got %v", err)
	}
}

// All faults of all spectra come at once, in the order of the table, however many readers there are.
func TestFaultsOfAllSpectra(t *testing.T) {
	folder := starterFolder(t)
	var rows strings.Builder
	rows.WriteString("cell,file,measured_at,temperature_c\n")
	for _, name := range []string{"q", "c", "x", "a", "m"} {
		rows.WriteString("1,spectra/" + name + ".csv,2025-01-02,25\n")
		folder["spectra/"+name+".csv"] = &fstest.MapFile{Data: []byte("frequency_hz,z_real_ohm,z_imag_ohm\n1,1,bad\n2,1,worse\n3,1,-1\n")}
	}
	folder["measurements.csv"] = &fstest.MapFile{Data: []byte(rows.String())}
	var first string
	for range 20 {
		_, err := readRecord(t.Context(), folder, &meter{})
		if err == nil {
			t.Fatal("no error")
		}
		if first == "" {
			first = err.Error()
		}
		if err.Error() != first || exitCode(err) != exitRefused {
			t.Fatalf("once\n%s\nonce\n%v", first, err)
		}
	}
	for _, name := range []string{"q", "c", "x", "a", "m"} {
		at := strings.Index(first, "spectra/"+name+".csv:2:")
		if at < 0 || strings.Count(first, "spectra/"+name+".csv:") != 2 {
			t.Errorf("%s is not twice in\n%s", name, first)
		}
		first = first[max(0, at):]
	}
}

// A logo counts among the inputs, and one that is no picture is refused at its place.
func TestLogo(t *testing.T) {
	folder := starterFolder(t)
	yaml := folder["job.yaml"]
	yaml.Data = bytes.Replace(yaml.Data, []byte("logo:  "), []byte("logo: mark.gif #"), 1)
	folder["mark.gif"] = &fstest.MapFile{Data: []byte("GIF89a")}
	if _, err := readRecord(t.Context(), folder, &meter{}); err == nil || !strings.Contains(err.Error(), "mark.gif: is no picture") {
		t.Errorf("got %v", err)
	}
	// A PNG of one dot, by the PNG specification (W3C, 2003).
	folder["mark.gif"].Data = []byte("\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00\x00\x01\x00\x00\x00\x01\x08\x00\x00\x00\x00\x3a\x7e\x9b\x55" +
		"\x00\x00\x00\nIDAT\x78\x9c\x63\x60\x00\x00\x00\x02\x00\x01\x48\xaf\xa4\x71\x00\x00\x00\x00IEND\xae\x42\x60\x82")
	r, d, err := order{}.judged(t.Context(), folder, &meter{})
	if err != nil {
		t.Fatal(err)
	}
	var files []string
	for _, in := range d.Inputs {
		files = append(files, in.File)
		if in.Bytes == 0 || len(in.SHA256) != 64 {
			t.Errorf("%+v", in)
		}
	}
	if got := strings.Join(files, " "); got != "job.yaml measurements.csv mark.gif spectra/A1_new.csv spectra/A1_aged.csv" {
		t.Errorf("inputs are %s", got)
	}
	for _, f := range reportFiles(d, r, "") {
		var b bytes.Buffer
		if err := f.write(&b); err != nil || b.Len() == 0 {
			t.Errorf("%s: %d bytes, %v", f.name, b.Len(), err)
		}
	}
}

// What the file system says about a file becomes a fault of that file, not a crash.
func TestVanishedSpectrum(t *testing.T) {
	folder := starterFolder(t)
	r, err := readRecord(t.Context(), vanishing{folder, "spectra/A1_aged.csv"}, &meter{})
	if err == nil || !strings.Contains(err.Error(), "spectra/A1_aged.csv") || exitCode(err) != exitRefused {
		t.Errorf("got %v, %v", r, err)
	}
}

// vanishing is a folder of which one file is listed, but cannot be opened.
type vanishing struct {
	fstest.MapFS
	name string
}

func (v vanishing) Open(name string) (fs.File, error) {
	if name == v.name {
		return nil, &fs.PathError{Op: "open", Path: name, Err: errors.New("input/output error")}
	}
	return v.MapFS.Open(name)
}

// A mistake that shows in one of many goroutines is an error in one line, and nothing is written.
func TestCrashedJudgementIsOneLine(t *testing.T) {
	r, err := readRecord(t.Context(), starterFolder(t), &meter{})
	if err != nil {
		t.Fatal(err)
	}
	r.inputs[0].Spectrum = nil // no reader gives such
	err = guarded(func() error {
		_, err := health.Assess(t.Context(), health.Evidence{Job: r.job, Inputs: r.inputs}, nil)
		return err
	})
	if err == nil || !strings.Contains(err.Error(), "please report it") || strings.Contains(err.Error(), "\n") || exitCode(err) != exitBroken {
		t.Errorf("got %v", err)
	}
}

// A judgement that does not keep curves, or drops them, gives the same results and pages, wherever its cells lie.
func TestSparseJudgementIsTheSame(t *testing.T) {
	var room scratch
	t.Cleanup(room.clear)
	of := func(e health.Evidence, later bool) string {
		r := must(readRecord(t.Context(), os.DirFS(demoFolder), &meter{}))
		options, release, err := order{}.options(r)
		if err != nil {
			t.Fatal(err)
		}
		defer release()
		d := must(worded(t.Context(), r, options, e, nil))
		if later {
			d.Assessment.Cells = health.Sparse(d.Assessment.Cells, room.store())
		}
		for _, c := range d.Assessment.Cells.All() {
			for _, m := range c.Measurements {
				if kept := m.Spectrum.Impedance != nil || m.Fit.Residuals != nil; kept == (e.Sparse || later) {
					t.Fatalf("sparse %v, and the curves of %s are kept: %v", e.Sparse, m.Row.File, kept)
				}
			}
		}
		pages := sha256.New()
		if err := (pdf.Options{Cells: pdf.NoCells}).Write(pages, d); err != nil {
			t.Fatal(err)
		}
		return fmt.Sprintf("results %s, pages %x", must(report.Digest(d)), pages.Sum(nil))
	}
	t.Cleanup(func() { debug.SetMemoryLimit(math.MaxInt64) })
	whole := of(health.Evidence{}, false)
	for what, got := range map[string]string{"in memory": of(health.Evidence{Sparse: true}, false),
		"in a file": of(health.Evidence{Sparse: true, Store: room.store()}, false), "dropped later": of(health.Evidence{}, true)} {
		if got != whole {
			t.Errorf("%s: %s; with all curves %s", what, got, whole)
		}
	}
}
