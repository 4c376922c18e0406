package main

import "runtime/debug"

// thrifty is by how many per cent storage may outgrow what is in use before it is collected, in jobs so large that they are not
// drawn: a third less storage than at the usual 100, for a twentieth more time.
const thrifty = 50

// Storage that such a job is held to, as long as what is in use leaves room: 3 KB a spectrum are in use at the end (measured on
// 10,000 cells of ten spectra each).
const (
	storageOfJob      = 500 << 20 // bytes
	storageOfSpectrum = 5000      // bytes
)

// economise has storage collected early, for a job of so many spectra. A stricter limit that was given stays.
func economise(spectra int, limit int64) {
	debug.SetGCPercent(thrifty)
	most := max(storageOfJob, int64(spectra)*storageOfSpectrum)
	debug.SetMemoryLimit(min(most, limit))
}

// storageLimit is the limit in force, in bytes: that of the environment where none was set since.
func storageLimit() int64 { return debug.SetMemoryLimit(-1) }
