// Package figure draws what a report shows, alike for every format, and lays it out anew for whatever canvas it is given.
package figure
