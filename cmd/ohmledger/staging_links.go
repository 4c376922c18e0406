package main

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
)

func inTurn(steps []func() error) error {
	for _, step := range steps {
		if err := step(); err != nil {
			return err
		}
	}
	return nil
}

// steps are those of commit, each a call of the system or two of which the first changes nothing that anybody sees.
func (s *staging) steps() (list []func() error) {
	for _, name := range s.journal.Names {
		list = append(list, s.linkSteps(name)...)
	}
	list = append(list,
		func() error { return os.Symlink(newRoom, s.in(nextLink)) },
		func() error { return os.Rename(s.in(nextLink), s.in(currentLink)) })
	for _, name := range s.journal.Names {
		list = append(list, func() error { return s.settleFile(newRoom, name) })
	}
	return list
}

// linkSteps put a link in the place of a file.
func (s *staging) linkSteps(name string) []func() error {
	place := s.beyond(name)
	if _, err := os.Lstat(place); errors.Is(err, fs.ErrNotExist) {
		return []func() error{
			func() error { return os.MkdirAll(filepath.Dir(place), 0o777) },
			func() error { return os.Symlink(s.linkTo(name), place) },
		}
	}
	return []func() error{
		func() error { return s.makeRoom(oldRoom, name) },
		func() error { return secondName(place, s.in(oldRoom, name)) },
		func() error { return s.makeRoom(linkRoom, name) },
		func() error { return os.Symlink(s.linkTo(name), s.in(linkRoom, name)) },
		func() error { return os.Rename(s.in(linkRoom, name), place) },
	}
}

func (s *staging) makeRoom(room, name string) error {
	return os.MkdirAll(s.in(room, path.Dir(name)), 0o777)
}

// secondName gives a file another name: by a hard link; where there are none, or the file is not ours, by a copy. A symbolic link
// becomes one that leads to the same file from there.
func secondName(name, second string) error {
	info, err := os.Lstat(name)
	if err != nil {
		return err
	}
	if info.Mode().Type() == fs.ModeSymlink {
		to, err := os.Readlink(name)
		if err == nil && !filepath.IsAbs(to) {
			to = filepath.Join(filepath.Dir(name), to)
		}
		return errors.Join(err, os.Symlink(to, second))
	}
	if err := os.Link(name, second); err == nil || !info.Mode().IsRegular() {
		return err
	}
	return copyFile(name, second, info.Mode().Perm())
}

func copyFile(from, to string, mode fs.FileMode) error {
	source, err := os.Open(from)
	if err != nil {
		return err
	}
	defer source.Close()
	target, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	if err != nil {
		return err
	}
	return fill(target, func(w io.Writer) error { _, err := io.Copy(w, source); return err })
}

// current is the room to which the target's links lead; empty where there are none.
func (h *hidden) current() string {
	room, _ := os.Readlink(h.in(currentLink))
	return room
}

// settle puts the files that the folder shows by links in the places of these, and finishes what was moved one by one.
func (h *hidden) settle() error {
	room := h.current()
	if _, err := os.Lstat(h.in(movingMark)); err == nil {
		return h.moveRest()
	}
	if room != oldRoom && room != newRoom {
		return nil
	}
	for _, name := range h.journal.Names {
		if err := h.settleFile(room, name); err != nil {
			return err
		}
	}
	return nil
}

// settleFile puts a file in the place of its link. A link that leads to nothing, since there was no such file, goes.
func (h *hidden) settleFile(room, name string) error {
	place := h.beyond(name)
	if to, err := os.Readlink(place); err != nil || to != h.linkTo(name) {
		return nil
	}
	err := os.Rename(h.in(room, name), place)
	if errors.Is(err, fs.ErrNotExist) {
		err = os.Remove(place)
	}
	return err
}
