package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// commit puts all files into the target, or leaves the target as it was and says why.
//
// A target that is absent, or that holds nothing but earlier files of the same names, changes in one step from the old
// folder to the new one. One that holds other files too gets the files one after the other: the old ones first go aside,
// so that files of two reports never stand together, and come back if a step fails.
func (s *staging) commit() error {
	if err := os.MkdirAll(filepath.Dir(s.target), 0o777); err != nil {
		return err
	}
	release, err := lockFolder(filepath.Dir(s.target))
	if err != nil {
		return err
	}
	defer release()
	switch {
	case !isFolder(s.target):
		return os.Rename(s.folder, s.target)
	case s.alone():
		if err := s.exchange(); !errors.Is(err, errNoExchange) {
			return err
		}
	}
	return s.replace()
}

// errNoExchange says that two folders cannot change places here, and that nothing was done.
var errNoExchange = errors.New("folders cannot be exchanged")

// alone says whether the target holds nothing but earlier files of the staged names, and nobody is known to stand in it.
func (s *staging) alone() bool {
	entries, err := os.ReadDir(s.target)
	if err != nil || sameFile(s.target, ".") {
		return false
	}
	return !slices.ContainsFunc(entries, func(e fs.DirEntry) bool {
		return !e.Type().IsRegular() || !slices.Contains(s.names, e.Name())
	})
}

func sameFile(a, b string) bool {
	first, errFirst := os.Stat(a)
	second, errSecond := os.Stat(b)
	return errFirst == nil && errSecond == nil && os.SameFile(first, second)
}

// exchange swaps the staged folder with the target. Where that cannot be, its error leaves everything as it was.
func (s *staging) exchange() error {
	if info, err := os.Stat(s.target); err == nil {
		os.Chmod(s.folder, info.Mode().Perm()) // a folder of the usual permissions serves too
	}
	if swapFolders(s.folder, s.target) != nil {
		return errNoExchange
	}
	for _, name := range s.names {
		os.Remove(filepath.Join(s.folder, name))
	}
	return s.returnLate()
}

// errLate says that the new files are in place all the same.
var errLate = errors.New("the new files are in place, but not all of what there was before could be removed")

// returnLate puts back what somebody put into the old folder while it was exchanged. An old file that could not be removed
// stays where it is.
func (s *staging) returnLate() error {
	late, err := os.ReadDir(s.folder)
	for _, e := range late {
		if slices.Contains(s.names, e.Name()) {
			err = errors.Join(err, fmt.Errorf("%s is left", quoted(filepath.Join(s.folder, e.Name()))))
			continue
		}
		err = errors.Join(err, os.Rename(filepath.Join(s.folder, e.Name()), filepath.Join(s.target, e.Name())))
	}
	if err != nil {
		return fmt.Errorf("%w: %w", errLate, err)
	}
	return nil
}

// replace puts the files into the target one by one.
func (s *staging) replace() error {
	if err := s.obstructed(); err != nil {
		return err
	}
	const aside = "old"
	var undo []func() error
	move := func(from, to string) error {
		if err := os.MkdirAll(filepath.Dir(to), 0o777); err != nil {
			return err
		}
		if err := os.Rename(from, to); err != nil {
			return err
		}
		undo = append(undo, func() error { return os.Rename(to, from) })
		return nil
	}
	err := s.moveAll(move, aside)
	if err != nil {
		for _, back := range slices.Backward(undo) {
			err = errors.Join(err, back())
		}
	}
	return err
}

// obstructed refuses to put a folder aside, whose content is not ours to judge.
func (s *staging) obstructed() error {
	for _, name := range s.names {
		if info, err := os.Lstat(s.path(name)); err == nil && info.IsDir() {
			return refuse("%s is a folder, where a file is to be written; move it away or name another folder", quoted(s.path(name)))
		}
	}
	return nil
}

func (s *staging) moveAll(move func(from, to string) error, aside string) error {
	for _, name := range s.names {
		err := move(s.path(name), filepath.Join(s.folder, aside, name))
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	for _, name := range s.names {
		if err := move(filepath.Join(s.folder, filepath.FromSlash(name)), s.path(name)); err != nil {
			return err
		}
	}
	return nil
}

func (s *staging) path(name string) string {
	return filepath.Join(s.target, filepath.FromSlash(name))
}
