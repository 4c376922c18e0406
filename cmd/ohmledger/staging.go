package main

import (
	"bufio"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// staging is a hidden folder in which files are written until all are complete. It lies within their target, or beside it
// where the target does not exist yet, so that a rename takes them there.
type staging struct {
	hidden
	target string
	fresh  bool // none of the files may be in the target yet
}

// stage begins to fill a target folder, which may exist, with files of slash-separated names. What ended runs left there is
// put right first.
func stage(target string, names []string, m *meter) (*staging, error) {
	target, err := resolved(target)
	if err != nil {
		return nil, err
	}
	place, release, err := prepare(target, m)
	if err != nil {
		return nil, err
	}
	defer release()
	if err := writable(place); err != nil {
		return nil, &unwritten{place, err, err}
	}
	h, err := makeHidden(place, names)
	s := &staging{hidden: h, target: target}
	if err != nil {
		_, reason := systemFault(err)
		return nil, &unwritten{place, reason, err}
	}
	return s, nil
}

// prepare locks the ground of a target and puts right what ended runs left there. Place is where a staging folder belongs.
func prepare(target string, m *meter) (place string, release func(), err error) {
	folders := ground(target)
	if release, err = lockAll(folders); err != nil {
		return "", nil, err
	}
	for _, folder := range folders {
		clearRemains(folder, folder == target, m)
	}
	return folders[len(folders)-1], release, nil
}

// ground are the folders in which a target is made or changed, the upper one first: the one above it, and itself, as far as they
// exist.
func ground(target string) (list []string) {
	above := filepath.Dir(target)
	for !isFolder(above) {
		above = filepath.Dir(above)
	}
	list = append(list, above)
	if isFolder(target) && target != above {
		list = append(list, target)
	}
	return list
}

// lockAll locks folders in their order. One that may not be read is passed over, as long as the last one may.
func lockAll(folders []string) (release func(), err error) {
	var held []func() error
	release = func() {
		for _, free := range slices.Backward(held) {
			free()
		}
	}
	for i, folder := range folders {
		free, err := lockFolder(folder)
		if errors.Is(err, fs.ErrPermission) && i < len(folders)-1 {
			continue
		}
		if err != nil {
			release()
			return nil, err
		}
		held = append(held, free)
	}
	return release, nil
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

// create makes one of the files, to be filled by fill.
func (s *staging) create(name string) (*os.File, error) {
	full := s.in(newRoom, name)
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

// discard removes what was staged, and after a commit what the target held before.
func (s *staging) discard() {
	_ = s.clear() // what cannot be removed now is named and removed by the next run
	s.free()
}
