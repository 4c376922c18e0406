package report

import "image/color"

// AgeColour is the colour of an age from 0, the oldest measurement, to 1, the latest, for formats that
// draw with means of their own.
func AgeColour(age float64) color.NRGBA { return ageColour(age) }
