package main

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"github.com/fsnotify/fsnotify"
)

// pace is how the watch goes.
type pace struct {
	settle   time.Duration // how long size and time of change of a file stand still before it is read
	longest  time.Duration // the same at most, of a file that is written point by point: a longer pause is its end, or is checked again
	patience time.Duration // how long one that cannot be read is tried again
	poll     time.Duration // how often the folder is looked through where no event tells of a change
}

// atTheBench is the usual pace. A file system without events, as on many network drives, is followed by polling.
var atTheBench = pace{settle: 400 * time.Millisecond, longest: 5 * time.Second, patience: 3 * time.Second, poll: 2 * time.Second}

// breath is how long events are left to gather.
const breath = 20 * time.Millisecond

// watch follows the files in a folder.
type watch struct {
	folder string
	pace
	files  map[string]*landing
	events func(folder string) (events <-chan fsnotify.Event, release func())
	ready  func(there int)                 // called once, when the folder has been looked through for the first time
	lost   func(err error)                 // called where the folder cannot be looked through, once each time
	check  func(name string) (again error) // reads and checks a file; an error: it could not be read, and nothing was said yet
	tell   func(name string, err error)    // says that it could not, for good
}

// landing is a file that lands, or has.
type landing struct {
	size    int64
	changed time.Time // as the file system says
	seen    time.Time // when that was first seen
	settle  time.Duration
	done    bool
}

// run follows the folder until the context ends.
func (w *watch) run(ctx context.Context) {
	events, release := w.events(w.folder)
	defer release()
	w.files = map[string]*landing{}
	missing := w.look(time.Now())
	for _, l := range w.files {
		l.done = true // it was there before
	}
	w.ready(len(w.files))
	for {
		timer := time.NewTimer(w.pause(time.Now()))
		select {
		case <-ctx.Done():
			timer.Stop()
			return
		case <-events: // what changed is seen by looking, and not at every write
			time.Sleep(breath)
		case <-timer.C:
		}
		timer.Stop()
		missing = w.round(ctx, missing)
	}
}

// round looks through the folder and reads what has settled. Missing is whether the folder could not be looked through the last time.
func (w *watch) round(ctx context.Context, missing error) error {
	err := w.look(time.Now())
	if err != nil && missing == nil {
		w.lost(err)
	}
	for _, name := range sortedNames(w.files) {
		if ctx.Err() == nil {
			w.attempt(name, w.files[name], time.Now())
		}
	}
	return err
}

// look notes what is new or has changed, and forgets what is gone.
func (w *watch) look(now time.Time) error {
	entries, err := os.ReadDir(w.folder)
	if err != nil {
		return err
	}
	there := map[string]bool{}
	for _, e := range entries {
		if !mayBeSpectrum(e.Name()) {
			continue
		}
		info, err := os.Stat(filepath.Join(w.folder, e.Name())) // a link's target may grow
		if err != nil || !info.Mode().IsRegular() {
			continue
		}
		there[e.Name()] = true
		w.note(e.Name(), info, now)
	}
	for name := range w.files {
		if !there[name] {
			delete(w.files, name)
		}
	}
	return nil
}

// note begins to wait for a file that is new or has changed. An instrument that writes point by point takes longer over each
// toward low frequency, so that it is waited for twice as long as the last one took, within bounds. A file that was checked before
// it was whole is checked again.
func (w *watch) note(name string, info fs.FileInfo, now time.Time) {
	l := w.files[name]
	if l != nil && l.size == info.Size() && l.changed.Equal(info.ModTime()) {
		return
	}
	settle := w.settle
	if l != nil && now.Sub(l.seen) < w.longest {
		settle = max(settle, min(2*now.Sub(l.seen), w.longest))
	}
	w.files[name] = &landing{size: info.Size(), changed: info.ModTime(), seen: now, settle: settle}
}

// attempt reads a file that has settled. One that cannot be read may still be on its way, so that for a while it is tried
// again in silence.
func (w *watch) attempt(name string, l *landing, now time.Time) {
	still := now.Sub(l.seen)
	if l.done || still < l.settle {
		return
	}
	err := w.check(filepath.Join(w.folder, name))
	switch {
	case err == nil, errors.Is(err, errNoSpectrum):
		l.done = true
	case still >= l.settle+w.patience:
		w.tell(filepath.Join(w.folder, name), err)
		l.done = true
	}
}

// pause is how long to wait for an event before looking again.
func (w *watch) pause(now time.Time) time.Duration {
	wait := w.poll
	for _, l := range w.files {
		if !l.done {
			wait = min(wait, max(l.settle-now.Sub(l.seen), w.settle/4))
		}
	}
	return wait
}

// eventsOf are the events of a folder, none where the file system has none.
func eventsOf(folder string) (events <-chan fsnotify.Event, release func()) {
	watcher, err := fsnotify.NewWatcher()
	if err != nil {
		return nil, func() {}
	}
	if err := watcher.Add(folder); err != nil {
		watcher.Close()
		return nil, func() {}
	}
	go func() { // lost events are made good by polling
		for range watcher.Errors {
		}
	}()
	return watcher.Events, func() { watcher.Close() }
}
