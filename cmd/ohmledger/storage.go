package main

import "runtime/debug"

// Storage that a job is held to whose cells are not drawn, as long as what is in use leaves room: 3 KB a spectrum are in use while
// cells are judged, and less later (measured on 100,000 cells of one spectrum each).
const (
	storageOfJob      = 500 << 20 // bytes
	storageOfSpectrum = 5000      // bytes
)

// economise has storage collected in time, for a job of so many spectra. A stricter limit that was given stays.
func economise(spectra int, limit int64) {
	most := max(storageOfJob, int64(spectra)*storageOfSpectrum)
	debug.SetMemoryLimit(min(most, limit))
}

// storageLimit is the limit in force, in bytes: that of the environment where none was set since.
func storageLimit() int64 { return debug.SetMemoryLimit(-1) }
