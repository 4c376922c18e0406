//go:build !linux && !darwin

package main

// lockFolder has no means here that would end with the process; two runs into one folder are then not kept apart.
func lockFolder(string) (release func() error, err error) { return func() error { return nil }, nil }
