package main

import "golang.org/x/sys/unix"

// swapFolders exchanges two folders in one step; at no moment is either absent (renamex_np(2), RENAME_SWAP).
func swapFolders(a, b string) error {
	return unix.RenamexNp(a, b, unix.RENAME_SWAP)
}
