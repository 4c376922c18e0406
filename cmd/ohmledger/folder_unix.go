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

// claimsTell says whether a claim shows that a run is alive.
const claimsTell = true

// claim takes a staging folder for this process, or says that another has it. The claim ends with the process, whatever happens.
func claim(folder string) (free func() error, err error) {
	f, err := os.Open(folder)
	if err != nil {
		return nil, err
	}
	if err := unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB); err != nil {
		f.Close()
		return nil, errInUse
	}
	return f.Close, nil
}

// ownedByUser says whether the user of this process made a folder.
func ownedByUser(folder string) bool {
	info, err := os.Lstat(folder)
	if err != nil {
		return false
	}
	status, ok := info.Sys().(*syscall.Stat_t)
	return ok && int(status.Uid) == os.Geteuid()
}

// writable refuses a folder that is not to be written into, though it could be exchanged for another.
func writable(folder string) error {
	return unix.Access(folder, unix.W_OK)
}
