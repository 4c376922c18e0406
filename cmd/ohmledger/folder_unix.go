//go:build linux || darwin

package main

import (
	"os"
	"syscall"

	"golang.org/x/sys/unix"
)

// lockFolder waits until no other run puts files into a folder below this one. The lock ends with the process, whatever
// happens.
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

// writable refuses a folder that is not to be written into, though it could be exchanged for another.
func writable(folder string) error {
	if err := unix.Access(folder, unix.W_OK); err != nil {
		return &os.PathError{Op: "write into", Path: folder, Err: err}
	}
	return nil
}

// sameDevice says whether a rename can lead from one folder into the other.
func sameDevice(a, b string) bool {
	first, errFirst := os.Stat(a)
	second, errSecond := os.Stat(b)
	if errFirst != nil || errSecond != nil {
		return false
	}
	x, okFirst := first.Sys().(*syscall.Stat_t)
	y, okSecond := second.Sys().(*syscall.Stat_t)
	return okFirst && okSecond && x.Dev == y.Dev
}
