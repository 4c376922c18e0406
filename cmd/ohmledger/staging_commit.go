package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
)

// commit puts all files into the target, or leaves the target as it was and says why.
//
// A target that is absent comes into being by one rename. In one that exists the files change together too, whatever else it
// holds and at whatever moment the process is killed, and nothing but the files is touched:
//
//  1. Each old file gets a second name in old/, and a link takes its place by a rename: report.pdf → .ohmledger-…/current/report.pdf,
//     where current is a link to old. Files that are new get such a link too; it leads to nothing yet.
//  2. One rename makes current a link to new. At this instant all files change.
//  3. Each new file takes the place of its link by a rename.
//
// Whoever opens a file finds the old one before the second step and the new one after it. A run that is killed leaves links
// that lead to files of one report; the next run into the folder puts these files in their places (settle), which is all that
// there is to finish or to undo. Every step is a rename, a link or a symbolic link, as POSIX has them: nothing of one
// system alone is needed.
//
// Where there are no symbolic links (Windows, FAT, some network drives) no order of steps is safe at each instant: the old files
// go aside one by one and the new ones take their places. They come back if a step fails. A process that is killed among
// these renames leaves the folder without some of the files; the new ones stand complete in the staging folder, and
// the next run moves them into place, where it can tell that the other one has ended (claimsTell).
func (s *staging) commit() error {
	if err := os.MkdirAll(filepath.Dir(s.target), 0o777); err != nil {
		return err
	}
	release, err := lockAll(ground(s.target))
	if err != nil {
		return err
	}
	defer release()
	if err := s.complete(); err != nil {
		return err
	}
	if !isFolder(s.target) {
		return os.Rename(s.in(newRoom), s.target)
	}
	if err := s.enter(); err != nil {
		return err
	}
	if err := s.obstructed(); err != nil {
		return err
	}
	return s.replace()
}

// complete makes sure that every file is there that is to be put into place.
func (s *staging) complete() error {
	for _, name := range s.journal.Names {
		if _, err := os.Lstat(s.in(newRoom, name)); err != nil {
			return err
		}
	}
	return nil
}

// enter moves a staging folder from beside the target into it, where another run made the target meanwhile.
func (s *staging) enter() error {
	if filepath.Dir(s.folder) == s.target {
		return nil
	}
	within := filepath.Join(s.target, filepath.Base(s.folder))
	err := os.Rename(s.folder, within)
	if err == nil {
		s.folder = within
	}
	return err
}

// obstructed refuses to put a folder aside, whose content is not ours to judge, to write through a link to elsewhere, and to
// replace what must not be there.
func (s *staging) obstructed() error {
	for _, name := range s.journal.Names {
		info, err := os.Lstat(s.beyond(name))
		switch {
		case err == nil && info.IsDir():
			return refuse("%s is a folder, where a file is to be written; move it away or name another folder", quoted(s.beyond(name)))
		case err == nil && s.fresh:
			return refuse("nothing was written, since %s came into being meanwhile", quoted(s.beyond(name)))
		}
	}
	for _, folder := range s.journal.folders() {
		full := s.beyond(folder)
		if real, err := resolved(full); err == nil && real != full {
			return refuse("%s is a link, where a folder is to be written; name another folder", quoted(full))
		}
	}
	return nil
}

// errLate says that the new files are in place all the same; errHalf that the old ones are.
var (
	errLate = errors.New("the new files are in place, but as links for now, which the next run puts right")
	errHalf = errors.New("the old files are links for now, which the next run puts right")
)

// replace puts the files into the place of old ones.
func (s *staging) replace() error {
	err := os.Symlink(oldRoom, s.in(currentLink))
	switch {
	case runtime.GOOS == "windows", errors.Is(err, errors.ErrUnsupported), errors.Is(err, fs.ErrPermission): // FAT says the latter
		os.Remove(s.in(currentLink))
		return s.moveAll()
	case err != nil:
		return err
	}
	if err = inTurn(s.steps()); err == nil {
		return nil
	}
	unsettled := s.settle()
	switch late := s.current() == newRoom; {
	case late && unsettled != nil:
		return fmt.Errorf("%w: %w", errLate, unsettled)
	case late:
		return nil
	case unsettled != nil:
		return fmt.Errorf("%w; %w: %w", err, errHalf, unsettled)
	}
	return err
}
