//go:build linux || darwin

package main

import (
	"bytes"
	"crypto/sha256"
	"flag"
	"fmt"
	"image"
	"image/png"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/tools/txtar"
)

const malformed = root + "/testdata/malformed/"

var only = flag.String("case", "", "only malformed inputs whose name holds this")

// What a bad input may cost. The race detector and a busy machine take several times as long as the measured times.
const (
	longestRefusal  = 20 * time.Second
	largestRefusal  = 1 << 30 // bytes allocated in all; what is held at once is less
	longestComplain = 16 << 10
)

// soundJob lays out the job that every case spoils in one way.
func soundJob(t testing.TB, folder string) {
	t.Helper()
	for _, f := range must(txtar.ParseFile(malformed + "sound.txtar")).Files {
		keep(t, filepath.Join(folder, f.Name), f.Data)
	}
	for _, name := range []string{"A1_new.csv", "A1_aged.csv"} {
		keep(t, filepath.Join(folder, "spectra", name), must(os.ReadFile(root+"/templates/job/spectra/"+name)))
	}
	var logo bytes.Buffer
	if err := png.Encode(&logo, image.NewGray(image.Rect(0, 0, 40, 20))); err != nil {
		t.Fatal(err)
	}
	keep(t, filepath.Join(folder, "logo.png"), logo.Bytes())
	keep(t, filepath.Join(folder, "..", "outside"), []byte("frequency_hz,z_real_ohm,z_imag_ohm\n1,2,-3\n"))
}

// The job that the cases spoil is sound.
func TestSoundJob(t *testing.T) {
	bench := filepath.Join(t.TempDir(), "bench")
	soundJob(t, bench)
	var told bytes.Buffer
	if code := run([]string{"report", bench, "--verdict-exit=false"}, &told, &told); code != exitDone {
		t.Fatalf("exit code %d: %s", code, &told)
	}
}

// refusals are what is said of the cases, with what the costliest took.
type refusals struct {
	golden  bytes.Buffer
	slowest struct {
		name string
		took time.Duration
	}
	largest struct {
		name  string
		bytes uint64
	}
}

// TestMalformedInputs spoils a sound job in every way of the list: exit code 2, nothing written, a message that is in the
// golden file, in bounded time and memory. Read the golden file as the technician who gets these lines.
func TestMalformedInputs(t *testing.T) {
	if testing.Short() {
		t.Skip("takes some ten seconds")
	}
	cases := append(readSpoilings(t), generated()...)
	if len(cases) < 150 {
		t.Fatalf("only %d malformed inputs", len(cases))
	}
	var all refusals
	names := map[string]bool{}
	for _, c := range cases {
		if names[c.name] {
			t.Errorf("two cases are called %q", c.name)
		}
		names[c.name] = true
		if strings.Contains(c.name, *only) {
			all.refuse(t, c)
		}
	}
	t.Logf("%d malformed inputs; the slowest, %s, took %v; the largest, %s, allocated %d MB",
		len(cases), all.slowest.name, all.slowest.took.Round(time.Millisecond), all.largest.name, all.largest.bytes>>20)
	if *only != "" {
		t.Logf("\n%s", &all.golden)
		return
	}
	golden := malformed + "messages.golden"
	if *update {
		keep(t, golden, all.golden.Bytes())
		return
	}
	compareGolden(t, string(must(os.ReadFile(golden))), all.golden.String())
}

// refuse runs one case and holds it against the law.
func (all *refusals) refuse(t *testing.T, c spoiling) {
	t.Helper()
	top := t.TempDir()
	bench := filepath.Join(top, "bench")
	soundJob(t, bench)
	for _, spoil := range c.steps {
		if err := spoil(bench); err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
	}
	before := treeOf(t, top)
	var out, told bytes.Buffer
	code := exitDone
	took, allocated := costOf(func() {
		code = run([]string{"report", bench, "-o", filepath.Join(top, "out"), "--figures", filepath.Join(top, "figures")}, &out, &told)
	})
	if code != exitRefused {
		t.Errorf("%s: exit code %d: %s%s", c.name, code, &out, &told)
		return
	}
	message := strings.ReplaceAll(strings.ReplaceAll(told.String(), bench, "BENCH"), top, "TOP")
	fmt.Fprintf(&all.golden, "== %s\n%s\n", c.name, strings.TrimPrefix(message, "ohmledger: "))
	holdRefusal(t, c.name, out.String(), message)
	for _, line := range treeOf(t, top) {
		if !slices.Contains(before, line) {
			t.Errorf("%s: afterwards there is %s", c.name, line)
		}
	}
	all.count(t, c.name, took, allocated)
}

func costOf(work func()) (took time.Duration, allocated uint64) {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	began := time.Now()
	work()
	took = time.Since(began)
	runtime.ReadMemStats(&after)
	return took, after.TotalAlloc - before.TotalAlloc
}

func (all *refusals) count(t *testing.T, name string, took time.Duration, allocated uint64) {
	if took > longestRefusal || allocated > largestRefusal {
		t.Errorf("%s took %v and %d MB", name, took, allocated>>20)
	}
	if took > all.slowest.took {
		all.slowest.name, all.slowest.took = name, took
	}
	if allocated > all.largest.bytes {
		all.largest.name, all.largest.bytes = name, allocated
	}
}

var (
	placed  = regexp.MustCompile(`(?m)^[^\s:][^\n:]*(:\d+){0,2}: .`) // file:line:column: message
	traced  = regexp.MustCompile(`goroutine|runtime error|panic|\.go:\d|please report`)
	control = regexp.MustCompile(`[\x00-\x09\x0b-\x1f\x7f]`)
)

// holdRefusal: the message has a place, is neither a stack nor a flood, and is all there is.
func holdRefusal(t *testing.T, name, out, message string) {
	t.Helper()
	switch {
	case out != "":
		t.Errorf("%s: on standard output: %s", name, out)
	case !placed.MatchString(strings.TrimPrefix(message, "ohmledger: ")):
		t.Errorf("%s: no place: %s", name, message)
	case traced.MatchString(message):
		t.Errorf("%s: a programmer's words: %s", name, message)
	case control.MatchString(message):
		t.Errorf("%s: control characters: %q", name, message)
	case len(message) > longestComplain:
		t.Errorf("%s: %d bytes of message", name, len(message))
	}
}

// treeOf lists what a folder holds, with the content of small files.
func treeOf(t *testing.T, top string) (list []string) {
	t.Helper()
	err := filepath.WalkDir(top, func(name string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		line := name + " " + e.Type().String()
		if info, err := e.Info(); err == nil && e.Type().IsRegular() {
			line += fmt.Sprintf(" %d %v", info.Size(), info.ModTime())
			if info.Size() < 1<<16 {
				line += fmt.Sprintf(" %x", sha256.Sum256(must(os.ReadFile(name))))
			}
		}
		list = append(list, line)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// compareGolden names the first case that differs.
func compareGolden(t *testing.T, want, got string) {
	t.Helper()
	wanted := strings.Split(want, "\n== ")
	for i, found := range strings.Split(got, "\n== ") {
		if i >= len(wanted) || wanted[i] != found {
			t.Errorf("%s\nis said, which the golden file does not; -update rewrites it", found)
			return
		}
	}
	if want != got {
		t.Error("the golden file says more; -update rewrites it")
	}
}
