package main

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"
)

// scene is a folder before files are put into it.
type scene struct {
	name    string
	names   []string          // that are put
	before  map[string]string // what is there of them
	foreign map[string]string // what else is there
	links   map[string]string // symbolic links: what they lead to
}

// scenes are folders as reports find them.
var scenes = []scene{
	{"own files alone", []string{"x", "y", "z"}, map[string]string{"x": "old x", "y": "old y", "z": "old z"}, nil, nil},
	{"notes and a job beside them", []string{"x", "y", "z"}, map[string]string{"x": "old x", "y": "old y", "z": "old z"},
		map[string]string{"note": "mine", "job/job.yaml": "a: b", "job/spectra/s.csv": "1,2"}, nil},
	{"nothing but notes", []string{"x", "y", "deep/er/z"}, nil, map[string]string{"note": "mine", "deep/note": "mine too"}, nil},
	{"a link to an archive", []string{"x", "y"}, map[string]string{"x": "old x", "y": "old y"},
		map[string]string{"archive/of/x": "old x"}, map[string]string{"x": filepath.FromSlash("archive/of/x")}},
}

func (s *scene) lay(t *testing.T) (out string) {
	t.Helper()
	out = filepath.Join(t.TempDir(), "out")
	if err := os.Mkdir(out, 0o777); err != nil {
		t.Fatal(err)
	}
	for _, files := range []map[string]string{s.before, s.foreign} {
		for name, text := range files {
			if s.links[name] == "" {
				keep(t, filepath.Join(out, name), []byte(text))
			}
		}
	}
	for name, to := range s.links {
		if err := os.Symlink(to, filepath.Join(out, name)); err != nil {
			t.Fatal(err)
		}
	}
	return out
}

// shown is the text that all files of a scene begin with, or empty where there is none of them; it is an error where they are
// not of one kind.
func (s *scene) shown(out string) (string, error) {
	found := map[string]int{}
	for _, name := range s.names {
		text, err := os.ReadFile(filepath.Join(out, name))
		if err != nil {
			text = nil
		}
		found[strings.TrimSuffix(string(text), name)]++
	}
	for text, n := range found {
		if n == len(s.names) {
			return text, nil
		}
	}
	return "", fmt.Errorf("files of several kinds: %v", found)
}

// whole holds that the folder has one set of files, all else as it was, and no more.
func (s *scene) whole(t *testing.T, out, text string) {
	t.Helper()
	want := map[string]string{}
	for name, content := range s.foreign {
		want[name] = content
	}
	for _, name := range s.names {
		if text != "" {
			want[name] = text + name
		}
	}
	holds(t, out, want)
	for _, name := range s.names {
		if info, err := os.Lstat(filepath.Join(out, name)); err == nil && text != "old " && !info.Mode().IsRegular() {
			t.Errorf("%s is %v", name, info.Mode())
		}
	}
}

// begun stages new files over a scene, up to where they are put into place.
func (s *scene) begun(t *testing.T) (out string, staged *staging) {
	t.Helper()
	out = s.lay(t)
	staged = must(stage(out, s.names, &meter{}))
	if err := filled(staged, "new ", s.names...); err != nil {
		t.Fatal(err)
	}
	return out, staged
}

// TestEndedAfterEachStep ends a run after each of its steps: the folder shows one set of files, and so it does after the next
// run, be that one of the same kind, one that fails, or one that is itself ended.
func TestEndedAfterEachStep(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("this system has no such steps")
	}
	points := 0
	for _, s := range scenes {
		_, staged := s.begun(t)
		total := len(staged.steps())
		staged.free()
		for k := range total + 1 {
			for again := range 3 {
				points++
				s.endAfter(t, k, again)
				if t.Failed() {
					t.Fatalf("%s: ended after %d of %d steps, run %d", s.name, k, total, again)
				}
			}
		}
	}
	t.Logf("%d points", points)
}

func (s *scene) endAfter(t *testing.T, k, again int) {
	t.Helper()
	out, staged := s.begun(t)
	if err := os.Symlink(oldRoom, staged.in(currentLink)); err != nil {
		t.Fatal(err)
	}
	if err := inTurn(staged.steps()[:k]); err != nil {
		t.Fatal(err)
	}
	text, err := s.shown(out)
	if err != nil {
		t.Error(err)
	}
	staged.free() // as the end of a process does
	switch again {
	case 0: // the next run does the same
		if err := put(out, "next ", s.names...); err != nil {
			t.Error(err)
		}
		s.whole(t, out, "next ")
	case 1: // the next run fails
		var told bytes.Buffer
		staged, err := stage(out, s.names, &meter{notes: &told})
		if err != nil {
			t.Fatal(err)
		}
		staged.discard()
		s.whole(t, out, text)
		if !strings.Contains(told.String(), "a run that was ended had begun to replace the files in") {
			t.Errorf("told %q", &told)
		}
	case 2: // a run puts it right and is ended too, and what it put right stays so
		r := must(examine(staged.folder))
		if err := r.settle(); err != nil {
			t.Error(err)
		}
		r.free()
		if now, err := s.shown(out); err != nil || now != text {
			t.Errorf("shows %q, before it was %q: %v", now, text, err)
		}
		must(stage(out, s.names, &meter{})).discard()
		s.whole(t, out, text)
	}
}

// Where there are no links the next run ends what was begun.
func TestEndedAmongMoves(t *testing.T) {
	for _, s := range scenes {
		for k := 0; ; k++ {
			out, staged := s.begun(t)
			keep(t, staged.in(movingMark), nil)
			n := 0
			err := staged.moves(func(from, to string) error {
				if n++; n > k {
					return io.EOF
				}
				if err := os.MkdirAll(filepath.Dir(to), 0o777); err != nil {
					return err
				}
				return os.Rename(from, to)
			})
			staged.free()
			must(stage(out, s.names, &meter{})).discard()
			s.whole(t, out, "new ")
			if err == nil {
				break
			}
		}
	}
}

// putter is a program that puts files into a folder again and again.
const putter = "putter"

// manyNames are enough for a kill to strike while they are put into place.
func manyNames() (names []string) {
	for i := range 40 {
		names = append(names, fmt.Sprintf("f%02d", i))
	}
	return names
}

func putForever() {
	for i := 0; ; i++ {
		if err := putTelling(os.Stdout, os.Args[1], fmt.Sprintf("%d of %d ", i, os.Getpid()), manyNames()...); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(exitBroken)
		}
	}
}

// TestKilledWhilePutting kills a process that does nothing but put files into place, at chance moments and dozens of times.
func TestKilledWhilePutting(t *testing.T) {
	kills := 60
	if testing.Short() {
		kills = 20
	}
	s := scene{names: manyNames(), foreign: map[string]string{"note": "mine", "job/job.yaml": "a: b"}}
	out := s.lay(t)
	random := rand.New(rand.NewPCG(3, 4))
	begun, left := 0, 0
	for i := range kills {
		told := killed(t, out, time.Duration(random.Float64()*float64(20*time.Millisecond)))
		begun += strings.Count(told, "had begun to replace")
		left += strings.Count(told, "has been removed")
		if _, err := s.shown(out); err != nil {
			t.Fatalf("after kill %d: %v", i+1, err)
		}
		for name, text := range s.foreign {
			if got, err := os.ReadFile(filepath.Join(out, name)); string(got) != text {
				t.Fatalf("after kill %d %s holds %q: %v", i+1, name, got, err)
			}
		}
	}
	if err := put(out, "last ", s.names...); err != nil {
		t.Fatal(err)
	}
	s.whole(t, out, "last ")
	t.Logf("%d kills, of which %d struck while files were put into place and %d before or after", kills, begun, left)
	if !testing.Short() && begun == 0 {
		t.Error("no kill struck while files were put into place")
	}
}

// killed runs the putter for a while, and gives what it said.
func killed(t *testing.T, out string, after time.Duration) string {
	t.Helper()
	cmd := exec.Command(must(os.Executable()), out)
	cmd.Args[0] = putter
	var told bytes.Buffer
	cmd.Stdout, cmd.Stderr = &told, &told
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	time.Sleep(40*time.Millisecond + after) // the program begins in the first of these
	cmd.Process.Kill()
	cmd.Wait()
	if code := cmd.ProcessState.ExitCode(); code >= 0 {
		t.Fatalf("ended by itself with %d: %s", code, &told)
	}
	return told.String()
}

// What is not ours is never removed, whatever it is called, nor what a run is still filling.
func TestOthersFoldersStay(t *testing.T) {
	out, host := filepath.Join(t.TempDir(), "out"), must(os.Hostname())
	for name, text := range map[string]string{
		".ohmledger-0123456789b0/journal.json": journalHead + `", "host": "another", "names": ["x"]}`, ".ohmledger-0123456789b0/new/x": "theirs",
		".ohmledger-notes/note": "mine", ".ohmledger-0123456789ab/note": "mine", ".ohmledger-0123456789ac": "a file",
		".ohmledger-0123456789ad/journal.json": `{"names": ["note"]}`, ".ohmledger-0123456789ad/new/note": "mine",
		".ohmledger-0123456789ae/journal.json": journalHead + `", "names": ["../../note"]}`, ".ohmledger-0123456789ae/new/x": "mine",
		".ohmledger-0123456789af/journal.json": journalHead + `", "host": "` + host + `", "names": ["x"]}`, ".ohmledger-0123456789af/new/note": "mine",
		"note": "mine",
	} {
		keep(t, filepath.Join(out, name), []byte(text))
	}
	before := strings.Join(treeOf(t, out), "\n")
	var told bytes.Buffer
	alive := must(stage(out, []string{"x"}, &meter{notes: &told}))
	if err := filled(alive, "alive ", "x"); err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(told.String(), "\n"); n != 4 {
		t.Errorf("four are named, but: %s", &told)
	}
	must(stage(out, []string{"x"}, &meter{})).discard()
	if _, err := os.Stat(alive.in(newRoom, "x")); err != nil {
		t.Errorf("what a run was filling is gone: %v", err)
	}
	alive.discard()
	if after := strings.Join(treeOf(t, out), "\n"); after != before {
		t.Errorf("was\n%s\nis\n%s", before, after)
	}
}

// A run that was killed as it began leaves a folder with half a journal, or none.
func TestHardlyBegunIsRemoved(t *testing.T) {
	out := filepath.Join(t.TempDir(), "out")
	keep(t, filepath.Join(out, "note"), []byte("mine"))
	for i, text := range []string{"", "{\n", journalHead, journalHead + `", "names": ["x"`} {
		keep(t, filepath.Join(out, fmt.Sprintf(".ohmledger-00000000000%d", i), journalName), []byte(text))
	}
	if err := os.Mkdir(filepath.Join(out, ".ohmledger-0123456789ab"), 0o777); err != nil {
		t.Fatal(err)
	}
	must(stage(out, []string{"x"}, &meter{})).discard()
	holds(t, out, map[string]string{"note": "mine"})
	if entries := must(os.ReadDir(out)); len(entries) != 1 || entries[0].Type() != fs.FileMode(0) {
		t.Errorf("left are %v", entries)
	}
}

// What an ended run left is named by verify, which changes nothing, and by the next report, which removes it.
func TestRemainsAreTold(t *testing.T) {
	if testing.Short() {
		t.Skip("what runs side by side in it does in the scripts of TestCommands too")
	}
	bench := reported(t)
	out := filepath.Join(bench, "report")
	names := (&set{files: []output{{name: pdfName}, {name: bookName}, {name: resultsName}}}).names()
	half, whole := must(stage(out, names, &meter{})), must(stage(filepath.Join(bench, "other"), names, &meter{}))
	if err := filled(half, "new ", names...); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(oldRoom, half.in(currentLink)); err != nil {
		t.Fatal(err)
	}
	if err := inTurn(half.steps()[:7]); err != nil {
		t.Fatal(err)
	}
	half.free()
	for _, step := range []struct{ args, told []string }{
		{[]string{"verify", out}, []string{"was left by a run that was ended while it put files into place", "a run of ohmledger is writing", "The report matches"}},
		{[]string{"report", bench, "--verdict-exit=false"}, []string{"had begun to replace the files in " + out + "; the old ones are all in place again"}},
		{[]string{"verify", out}, []string{"a run of ohmledger is writing", "The report matches"}},
	} {
		told := toldBy(t, step.args)
		for _, want := range step.told {
			if !strings.Contains(told, want) {
				t.Errorf("%v does not say %q: %s", step.args, want, told)
			}
		}
	}
	whole.free()
	if told := toldBy(t, []string{"verify", out}); strings.Count(told, "was left by a run that was ended") != 1 {
		t.Error(told)
	}
	for _, name := range names {
		if err := os.Remove(filepath.Join(out, name)); err != nil {
			t.Fatal(err)
		}
	}
	var told bytes.Buffer
	if code := run([]string{"verify", out}, &told, &told); code != exitRefused || strings.Count(told.String(), "was left by a run that was ended") != 1 {
		t.Errorf("without files: exit code %d: %s", code, &told)
	}
	if told := toldBy(t, []string{"report", bench}); !strings.Contains(told, "was left by a run that was ended, and has been removed") {
		t.Error(told)
	}
	if left := append(staged(out), staged(bench)...); len(left) > 0 {
		t.Errorf("left are %v", left)
	}
}

// toldBy is all that a command says that succeeds.
func toldBy(t *testing.T, args []string) string {
	t.Helper()
	var told bytes.Buffer
	if code := run(args, &told, &told); code != exitDone {
		t.Fatalf("%v: exit code %d: %s", args, code, &told)
	}
	return told.String()
}
