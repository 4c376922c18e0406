package main

import (
	"io"
	"os"
	"path/filepath"
	"testing"
)

// Stores of one scratch are one file, and none of them reads what another holds.
func TestStores(t *testing.T) {
	folder := t.TempDir()
	t.Setenv("TMPDIR", folder) // and TMP where the system is another
	t.Setenv("TMP", folder)
	var room scratch
	texts := []string{"first", "second", "", "last"}
	var stores []io.ReaderAt
	for _, text := range texts {
		store := room.store()
		if n, err := store.Write([]byte(text)); n != len(text) || err != nil {
			t.Fatal(n, err)
		}
		stores = append(stores, store)
	}
	for i, text := range texts {
		got := make([]byte, len(text))
		if _, err := stores[i].ReadAt(got, 0); err != nil || string(got) != text {
			t.Errorf("store %d holds %q, %v", i, got, err)
		}
	}
	if len(room.files) != 1 {
		t.Errorf("%d files are open", len(room.files))
	}
	room.clear()
	if left, err := filepath.Glob(filepath.Join(folder, "*")); err != nil || len(left) > 0 {
		t.Errorf("%v are left, %v", left, err)
	}
}

// Where no file can be made memory has to do.
func TestNoRoomForStores(t *testing.T) {
	nowhere := filepath.Join(t.TempDir(), "nowhere")
	t.Setenv("TMPDIR", nowhere)
	t.Setenv("TMP", nowhere)
	if _, err := os.Stat(nowhere); err == nil {
		t.Fatal("it is there")
	}
	var room scratch
	if store := room.store(); store != nil {
		t.Errorf("%v", store)
	}
}
