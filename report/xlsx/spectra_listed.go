package xlsx

// ListsPoints reports whether the workbook of a job with so many measurements has the points of their spectra.
func ListsPoints(measurements int) bool { return measurements <= spectraUpTo }
