package main

import (
	"bufio"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// staging is a hidden folder in which files are written until all are complete. It lies where a rename takes them to
// their target: beside it, or within it where nothing can be made beside it.
type staging struct {
	target string
	folder string
	names  []string // slash-separated, in the order in which they were begun
}

// stagePrefix begins the names of staging folders.
const stagePrefix = ".ohmledger-"

// stage begins to fill a target folder, which may exist.
func stage(target string) (*staging, error) {
	target, err := resolved(target)
	if err != nil {
		return nil, err
	}
	s := &staging{target: target}
	if !isFolder(target) {
		beside := filepath.Dir(target)
		for !isFolder(beside) {
			beside = filepath.Dir(beside)
		}
		s.folder, err = makeHidden(beside)
		return s, err
	}
	if err := writable(target); err != nil {
		return nil, err
	}
	beside := filepath.Dir(target)
	if !sameDevice(beside, target) {
		beside = target
	}
	if s.folder, err = makeHidden(beside); err != nil && beside != target {
		s.folder, err = makeHidden(target)
	}
	return s, err
}

// resolved is an absolute path without links, as far as the path exists.
func resolved(name string) (string, error) {
	name, err := filepath.Abs(name)
	if err != nil {
		return "", err
	}
	real, err := filepath.EvalSymlinks(name)
	if errors.Is(err, fs.ErrNotExist) && filepath.Dir(name) != name {
		above, err := resolved(filepath.Dir(name))
		return filepath.Join(above, filepath.Base(name)), err
	}
	return real, err
}

func isFolder(name string) bool {
	info, err := os.Stat(name)
	return err == nil && info.IsDir()
}

// makeHidden makes a folder of an unused name with the usual permissions: it may become the target.
func makeHidden(beside string) (string, error) {
	suffix := make([]byte, 6)
	rand.Read(suffix) // never fails
	folder := filepath.Join(beside, stagePrefix+hex.EncodeToString(suffix))
	return folder, os.Mkdir(folder, 0o777)
}

// create makes a file, to be filled by fill.
func (s *staging) create(name string) (*os.File, error) {
	s.names = append(s.names, name)
	full := filepath.Join(s.folder, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(full), 0o777); err != nil {
		return nil, err
	}
	return os.OpenFile(full, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
}

// fill writes a file and sees it onto the disk, so that no rename can overtake its content.
func fill(f *os.File, write func(io.Writer) error) error {
	buffered := bufio.NewWriterSize(f, 1<<16)
	err := write(buffered)
	if err == nil {
		err = buffered.Flush()
	}
	if err == nil {
		err = f.Sync()
	}
	return errors.Join(err, f.Close())
}

// discard removes what was staged. After a commit there is nothing left to remove.
func (s *staging) discard() { os.RemoveAll(s.folder) }
