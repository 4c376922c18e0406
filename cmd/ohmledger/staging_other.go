//go:build !linux && !darwin

package main

import "errors"

// swapFolders is not to be had: files are replaced one by one.
func swapFolders(a, b string) error { return errors.ErrUnsupported }
