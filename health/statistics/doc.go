// Package statistics estimates and tests what samples and courses of numbers are: outliers, normality, tolerance intervals,
// trends and regressions. It knows nothing of cells.
package statistics
