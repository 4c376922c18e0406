package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"
)

// remains is a staging folder that no run of this machine fills any more.
type remains struct {
	hidden
	touches bool  // the folder that holds it shows files by links into it, or lacks files that it has
	foreign error // why it is not ours to remove; nil: it is
}

// longestRun is after how long a run on another machine is taken for ended; a claim is not seen from there. Common practice.
const longestRun = 24 * time.Hour

// errInUse says that a run fills a staging folder, or may.
var errInUse = errors.New("a run is writing")

// examine claims a staging folder that a run may have left. The caller frees it.
func examine(folder string) (*remains, error) {
	if !claimsTell {
		return nil, errInUse
	}
	free, err := claim(folder)
	if err != nil {
		return nil, err
	}
	r := &remains{hidden: hidden{folder: folder, free: free}}
	r.journal, r.foreign = readJournal(folder)
	if r.foreign == nil && !ownedByUser(folder) {
		r.foreign = errors.New("somebody else left it")
	}
	if r.foreign == nil && r.elsewhere() {
		free()
		return nil, errInUse
	}
	_, moving := os.Lstat(r.in(movingMark))
	r.touches = r.current() != "" || moving == nil
	return r, nil
}

// elsewhere says whether a run on another machine may still fill the folder.
func (r *remains) elsewhere() bool {
	host, err := os.Hostname()
	if r.journal.Note == "" || err == nil && host == r.journal.Host {
		return false
	}
	info, err := os.Stat(r.in(newRoom))
	return err == nil && time.Since(info.ModTime()) < longestRun
}

// staged lists the paths of the staging folders in a folder, by their names.
func staged(folder string) (list []string) {
	entries, _ := os.ReadDir(folder) // what cannot be listed is not swept
	for _, e := range entries {
		if e.IsDir() && stageName.MatchString(e.Name()) {
			list = append(list, filepath.Join(folder, e.Name()))
		}
	}
	return list
}

// clearRemains removes the staging folders that runs left in a folder when they were ended, and says so. Those on which files of the
// folder depend are for a run into that folder alone, which has locked what is above: it puts the files into place first.
func clearRemains(folder string, within bool, m *meter) {
	for _, name := range staged(folder) {
		r, err := examine(name)
		if err != nil {
			continue
		}
		if !r.touches || within {
			m.note("%s", r.remove())
		}
		r.free()
	}
}

// remove puts right what depends on the staging folder, removes it, and says what it did.
func (r *remains) remove() string {
	if r.foreign != nil {
		return fmt.Sprintf("%s is left as it is (%v); it can be removed when no run of ohmledger is writing", quoted(r.folder), r.foreign)
	}
	began, room := r.touches, r.current()
	if err := r.clear(); err != nil {
		return fmt.Sprintf("%s was left by a run that was ended, and cannot be removed: %v", quoted(r.folder), err)
	}
	switch {
	case began && room == oldRoom:
		return fmt.Sprintf("a run that was ended had begun to replace the files in %s; the old ones are all in place again", quoted(filepath.Dir(r.folder)))
	case began:
		return fmt.Sprintf("a run that was ended had begun to replace the files in %s; the new ones are all in place now", quoted(filepath.Dir(r.folder)))
	}
	return fmt.Sprintf("%s was left by a run that was ended, and has been removed", quoted(r.folder))
}

// tellRemains says in a verification what ended runs left in the folder of a report and beside it. Nothing is changed.
func (v *verification) tellRemains(out string) {
	real, err := resolved(out)
	if err != nil {
		return
	}
	for _, name := range append(staged(real), staged(filepath.Dir(real))...) {
		r, err := examine(name)
		if err != nil {
			v.notef("%s: a run of ohmledger is writing, or may be", shorter(name))
			continue
		}
		within := filepath.Dir(name) == real
		switch {
		case r.foreign != nil:
			v.notef("%s: %v; it can be removed when no run of ohmledger is writing", shorter(name), r.foreign)
		case r.touches && within:
			v.notef("%s was left by a run that was ended while it put files into place; the next report into %s puts them right", shorter(name), quoted(out))
		default:
			v.notef("%s was left by a run that was ended; the next one into the same folder removes it", shorter(name))
		}
		r.free()
	}
}
