//go:build linux || darwin

package main

import (
	"fmt"
	"os"
	"runtime/debug"

	"golang.org/x/sys/unix"
)

// leastAddressSpace is what the Go runtime and its threads set aside, mostly without using it. Under 2 GB a small job may
// die in the middle of its work (tried on linux/amd64).
const leastAddressSpace = 2 << 30

// checkMemory refuses to begin what a limit of the session will not let end. A crash for want of memory, which no program of
// this kind can catch, then says so in one line.
func checkMemory() error {
	if os.Getenv(debugVariable) == "" {
		debug.SetTraceback("none")
	}
	var limit unix.Rlimit
	if err := unix.Getrlimit(unix.RLIMIT_AS, &limit); err != nil || limit.Cur >= leastAddressSpace {
		return nil
	}
	return fmt.Errorf("this session is limited to %d MB of address space (ulimit -v), and at least %d MB are needed; nothing was written", limit.Cur>>20, leastAddressSpace>>20)
}
