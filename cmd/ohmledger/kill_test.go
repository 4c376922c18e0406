package main

import (
	"bytes"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"
)

// program runs the program in a process of its own.
func program(args ...string) *exec.Cmd {
	cmd := exec.Command(must(os.Executable()), args...)
	cmd.Args[0] = "ohmledger" // by which the test binary knows what it is to be; see TestMain
	return cmd
}

func contents(t *testing.T, folder string) map[string]string {
	t.Helper()
	list := map[string]string{}
	for _, f := range formats {
		if data, err := os.ReadFile(filepath.Join(folder, f.name)); err == nil {
			list[f.name] = string(data)
		}
	}
	return list
}

// TestKilledAnywhere kills the program at chance moments, every other time while it puts the files into place: the old report is
// whole, or the new one is. Notes and a folder lie beside them, and stay.
func TestKilledAnywhere(t *testing.T) {
	if testing.Short() {
		t.Skip("takes some seconds")
	}
	top := t.TempDir()
	bench, out := filepath.Join(top, "bench"), filepath.Join(top, "out")
	if text, err := program("new", bench).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, text)
	}
	var variants []map[string]string
	var took time.Duration
	for _, cells := range []string{"all", "none"} {
		began := time.Now()
		if text, err := program("report", bench, "-o", out, "--cells", cells).CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, text)
		}
		took = time.Since(began)
		variants = append(variants, contents(t, out))
	}
	if maps.Equal(variants[0], variants[1]) {
		t.Fatal("the variants do not differ")
	}
	beside := map[string]string{"note": "mine", "job/note": "mine too"}
	for name, text := range beside {
		keep(t, filepath.Join(out, name), []byte(text))
	}
	random := rand.New(rand.NewPCG(1, 2))
	for i := range 26 {
		cmd := program("report", bench, "-o", out, "--cells", []string{"all", "none"}[i%2])
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		if i%4 < 2 {
			time.Sleep(time.Duration(random.Float64() * 1.1 * float64(took)))
		} else {
			awaitReplacement(out, 3*took)
			time.Sleep(time.Duration(random.Float64() * float64(time.Millisecond)))
		}
		cmd.Process.Kill()
		cmd.Wait()
		if got := contents(t, out); !maps.Equal(got, variants[0]) && !maps.Equal(got, variants[1]) {
			t.Fatalf("after kill %d the folder holds neither report", i+1)
		}
	}
	if text, err := program("report", bench, "-o", out, "--cells", "none").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, text)
	}
	maps.Copy(beside, variants[1])
	holds(t, out, beside)
	if left := append(staged(top), staged(out)...); len(left) > 0 {
		t.Errorf("left are %v", left)
	}
}

// awaitReplacement waits until a run begins to put files into the place of others, at most for a while.
func awaitReplacement(out string, most time.Duration) {
	for began := time.Now(); time.Since(began) < most; time.Sleep(50 * time.Microsecond) {
		if found, _ := filepath.Glob(filepath.Join(out, stagePrefix+"*", currentLink)); len(found) > 0 {
			return
		}
	}
}

// An interrupt ends the work and leaves nothing behind.
func TestInterrupted(t *testing.T) {
	top := t.TempDir()
	if code := run([]string{"new", filepath.Join(top, "bench")}, &bytes.Buffer{}, &bytes.Buffer{}); code != exitDone {
		t.Fatal(code)
	}
	cmd := program("report", filepath.Join(top, "bench"), "-o", filepath.Join(top, "out"))
	var told bytes.Buffer
	cmd.Stderr = &told
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	time.Sleep(30 * time.Millisecond)
	if err := cmd.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	cmd.Wait()
	entries := must(os.ReadDir(top))
	for _, e := range entries {
		if e.Name() != "bench" && e.Name() != "out" {
			t.Errorf("%s was left", e.Name())
		}
	}
}
