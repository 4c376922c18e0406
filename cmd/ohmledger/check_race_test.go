//go:build race

package main

// raceDetected says that the race detector runs, which makes everything slow.
const raceDetected = true
