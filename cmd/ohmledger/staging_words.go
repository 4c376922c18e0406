package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// unwritten is a file, or a folder, that could not be written.
type unwritten struct {
	path        string
	reason, err error
}

func (u *unwritten) Error() string {
	return fmt.Sprintf("%s cannot be written: %v", quoted(u.path), u.reason)
}
func (u *unwritten) Unwrap() error { return u.err }

// inWords tells of a fault of the system by the file that could not be written, and not by where it was on its way.
func (s *staging) inWords(err error) error {
	name, reason := systemFault(err)
	switch within, found := strings.CutPrefix(name, s.folder+string(filepath.Separator)); {
	case found:
		_, file, _ := strings.Cut(within, string(filepath.Separator))
		return &unwritten{filepath.Join(s.target, file), reason, err}
	case name != "" && filepath.Dir(name) == s.target:
		return &unwritten{name, reason, err}
	}
	return err
}

// systemFault is the file at which the system failed, and why. No file: the error says more than that, and is the reason itself.
func systemFault(err error) (name string, reason error) {
	var one *fs.PathError
	var two *os.LinkError
	switch {
	case errors.As(err, &one) && one.Error() == err.Error():
		return one.Path, one.Err
	case errors.As(err, &two) && two.Error() == err.Error():
		return two.New, two.Err
	}
	return "", err
}
