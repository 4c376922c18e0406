// Package sampling has the plans of acceptance sampling, by attributes (MIL-STD-105E) and by variables (MIL-STD-414), and how often
// each accepts what. It knows nothing of cells.
package sampling
