package main

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
)

// put stages files of the given text and commits them.
func put(target, text string, names ...string) error {
	return putTelling(nil, target, text, names...)
}

func putTelling(w io.Writer, target, text string, names ...string) error {
	s, err := stage(target, names, &meter{notes: w})
	if err != nil {
		return err
	}
	defer s.discard()
	if err := filled(s, text, names...); err != nil {
		return err
	}
	return s.commit()
}

// filled writes the staged files.
func filled(s *staging, text string, names ...string) error {
	for _, name := range names {
		f, err := s.create(name)
		if err != nil {
			return err
		}
		_, err = f.WriteString(text + name)
		if err = errors.Join(err, f.Close()); err != nil {
			return err
		}
	}
	return nil
}

// holds compares a tree with what it should hold, hidden files included.
func holds(t *testing.T, folder string, want map[string]string) {
	t.Helper()
	found := map[string]string{}
	err := filepath.WalkDir(folder, func(name string, e os.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			if err == nil && strings.HasPrefix(e.Name(), stagePrefix) {
				t.Errorf("%s was left", name)
			}
			return err
		}
		found[filepath.ToSlash(must(filepath.Rel(folder, name)))] = string(must(os.ReadFile(name)))
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for name := range want {
		if found[name] != want[name] {
			t.Errorf("%s holds %q, want %q", name, found[name], want[name])
		}
	}
	if len(found) != len(want) {
		t.Errorf("holds %v, want %v", found, want)
	}
}

func TestStagedFilesArrive(t *testing.T) {
	top := t.TempDir()
	out := filepath.Join(top, "a", "b")
	for _, text := range []string{"first ", "second ", "third "} {
		if err := put(out, text, "x", "y"); err != nil {
			t.Fatal(err)
		}
		holds(t, top, map[string]string{"a/b/x": text + "x", "a/b/y": text + "y"})
	}
	keep(t, filepath.Join(out, "note"), []byte("mine"))
	if err := put(out, "fourth ", "x", "y", "deep/z"); err != nil {
		t.Fatal(err)
	}
	holds(t, top, map[string]string{"a/b/x": "fourth x", "a/b/y": "fourth y", "a/b/deep/z": "fourth deep/z", "a/b/note": "mine"})
}

// The folder stays the one that it was: whoever stands in it, watches it or set its permissions finds it again.
func TestFolderStays(t *testing.T) {
	out := filepath.Join(t.TempDir(), "out")
	if err := put(out, "old ", "x", "y"); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(out, 0o750); err != nil {
		t.Fatal(err)
	}
	before := must(os.Stat(out))
	if err := put(out, "new ", "x", "y"); err != nil {
		t.Fatal(err)
	}
	after := must(os.Stat(out))
	if !os.SameFile(before, after) || after.Mode() != before.Mode() {
		t.Errorf("same folder %v, mode %v, before it was %v", os.SameFile(before, after), after.Mode(), before.Mode())
	}
}

func prefixed(prefix string, files map[string]string) map[string]string {
	list := map[string]string{}
	for name, text := range files {
		list[prefix+name] = text
	}
	return list
}

// What cannot be put into place is put back, by links and where there are none.
func TestReplacementIsUndone(t *testing.T) {
	for _, replace := range []func(*staging) error{(*staging).replace, (*staging).moveAll} {
		out := filepath.Join(t.TempDir(), "out")
		if err := put(out, "old ", "x", "y"); err != nil {
			t.Fatal(err)
		}
		keep(t, filepath.Join(out, "note"), []byte("mine"))
		s := must(stage(out, []string{"x", "y", "note/z"}, &meter{})) // there is no such place for the last
		if err := filled(s, "new ", "x", "y", "note/z"); err != nil {
			t.Fatal(err)
		}
		if err := replace(s); err == nil {
			t.Error("a file was put below another")
		}
		s.discard()
		holds(t, out, map[string]string{"x": "old x", "y": "old y", "note": "mine"})
	}
}

// A file that was never written stops everything.
func TestIncompleteIsNotPutIntoPlace(t *testing.T) {
	out := filepath.Join(t.TempDir(), "out")
	if err := put(out, "old ", "x", "y"); err != nil {
		t.Fatal(err)
	}
	s := must(stage(out, []string{"x", "y"}, &meter{}))
	if err := filled(s, "new ", "x"); err != nil {
		t.Fatal(err)
	}
	if err := s.commit(); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("got %v", err)
	}
	s.discard()
	holds(t, out, map[string]string{"x": "old x", "y": "old y"})
}

func TestFailedWriteLeavesNothing(t *testing.T) {
	top := t.TempDir()
	out := filepath.Join(top, "new", "out")
	full := errors.New("disk full")
	sets := []set{{folder: out, files: []output{
		{"x", func(w io.Writer) error { _, err := io.WriteString(w, "x"); return err }},
		{"y", func(io.Writer) error { return full }},
	}}}
	if err := writeSets(t.Context(), sets, func() error { return nil }, &meter{}); !errors.Is(err, full) {
		t.Errorf("got %v", err)
	}
	holds(t, top, map[string]string{})
	sets[0].files = sets[0].files[:1]
	if err := writeSets(t.Context(), sets, func() error { return full }, &meter{}); !errors.Is(err, full) {
		t.Errorf("got %v", err)
	}
	holds(t, top, map[string]string{})
}

// A crash while writing is an error that says so, and leaves nothing either.
func TestCrashedWriteLeavesNothing(t *testing.T) {
	top := t.TempDir()
	sets := []set{{folder: filepath.Join(top, "out"), files: []output{{"x", func(io.Writer) error { panic("no such ink") }}}}}
	err := writeSets(t.Context(), sets, func() error { return nil }, &meter{})
	if err == nil || !strings.Contains(err.Error(), "please report it") || strings.Contains(err.Error(), "goroutine") || exitCode(err) != exitBroken {
		t.Errorf("got %v", err)
	}
	holds(t, top, map[string]string{})
	t.Setenv(debugVariable, "1")
	if err := guarded(func() error { panic("again") }); !strings.Contains(err.Error(), "goroutine") {
		t.Errorf("no stack in %v", err)
	}
}

// Runs into one folder at once leave the files of one of them.
func TestTwoRunsIntoOneFolder(t *testing.T) {
	for _, foreign := range []bool{false, true} {
		out := filepath.Join(t.TempDir(), "out")
		if foreign {
			keep(t, filepath.Join(out, "note"), []byte("mine"))
		}
		var runs sync.WaitGroup
		for _, text := range []string{"a ", "b ", "c ", "d "} {
			runs.Go(func() {
				for range 10 {
					_ = put(out, text, "x", "y", "z") // some may find the folder exchanged under them
				}
			})
		}
		runs.Wait()
		want := map[string]string{}
		texts := []string{}
		for _, name := range []string{"x", "y", "z"} {
			texts = append(texts, strings.TrimSuffix(string(must(os.ReadFile(filepath.Join(out, name)))), name))
		}
		if len(slices.Compact(slices.Clone(texts))) != 1 {
			t.Errorf("foreign %v: files of several runs: %q", foreign, texts)
		}
		for i, name := range []string{"x", "y", "z"} {
			want[name] = texts[i] + name
		}
		if foreign {
			want["note"] = "mine"
		}
		holds(t, filepath.Dir(out), prefixed("out/", want))
	}
}
