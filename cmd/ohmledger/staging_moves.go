package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// moveAll replaces the files one by one.
func (s *staging) moveAll() error {
	if err := os.WriteFile(s.in(movingMark), nil, 0o666); err != nil {
		return err
	}
	var undo []func() error
	err := s.moves(func(from, to string) error {
		if err := os.MkdirAll(filepath.Dir(to), 0o777); err != nil {
			return err
		}
		err := os.Rename(from, to)
		if err == nil {
			undo = append(undo, func() error { return os.Rename(to, from) })
		}
		return err
	})
	for _, back := range slices.Backward(undo) {
		if err == nil {
			break
		}
		if lost := back(); lost != nil {
			return fmt.Errorf("%w; not all files could be put back, and the next run puts the new ones into place: %w", err, lost)
		}
	}
	return errors.Join(err, os.Remove(s.in(movingMark)))
}

func (s *staging) moves(move func(from, to string) error) error {
	for _, name := range s.journal.Names {
		if err := move(s.beyond(name), s.in(oldRoom, name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	for _, name := range s.journal.Names {
		if err := move(s.in(newRoom, name), s.beyond(name)); err != nil {
			return err
		}
	}
	return nil
}

// moveRest ends what moveAll began in a process that was killed: every file was complete before it began.
func (h *hidden) moveRest() error {
	for _, name := range h.journal.Names {
		if err := os.MkdirAll(filepath.Dir(h.beyond(name)), 0o777); err != nil {
			return err
		}
		if err := os.Rename(h.in(newRoom, name), h.beyond(name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return os.Remove(h.in(movingMark))
}
