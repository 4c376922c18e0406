package main

import "golang.org/x/sys/unix"

// swapFolders exchanges two folders in one step; at no moment is either absent (rename(2), RENAME_EXCHANGE).
func swapFolders(a, b string) error {
	return unix.Renameat2(unix.AT_FDCWD, a, unix.AT_FDCWD, b, unix.RENAME_EXCHANGE)
}
