// Package notation writes numbers as readers take them: rounded by their uncertainty, with unit and prefix, and dates, in the way of a
// language.
package notation
