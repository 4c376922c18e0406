//go:build !race

package main

const raceDetected = false
