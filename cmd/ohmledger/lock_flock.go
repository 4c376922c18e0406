//go:build linux || darwin

package main

import (
	"os"

	"golang.org/x/sys/unix"
)

// lockFolder waits until no other run puts files into a folder below this one. The lock ends with the process, whatever happens.
func lockFolder(folder string) (release func() error, err error) {
	f, err := os.Open(folder)
	if err != nil {
		return nil, err
	}
	if err := unix.Flock(int(f.Fd()), unix.LOCK_EX); err != nil {
		f.Close()
		return nil, &os.PathError{Op: "lock", Path: folder, Err: err}
	}
	return f.Close, nil
}
