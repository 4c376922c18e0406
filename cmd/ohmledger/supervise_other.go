//go:build !linux

package main

// supervised does the work: no limit is known here that would end it otherwise.
func supervised(work func() int) int { return work() }
