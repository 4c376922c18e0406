package pdf

import (
	"image/color"
	"strconv"

	"github.com/boombuler/barcode/qr"
)

// matrix is a QR code (ISO/IEC 18004): rows of modules, true where dark.
type matrix [][]bool

// matrixOf codes a text so that a fifth of it may be lost.
func matrixOf(text string) matrix {
	code, err := qr.Encode(text, qr.M, qr.Auto)
	if err != nil {
		panic("pdf: a label's code: " + err.Error()) // its text is short
	}
	side := code.Bounds().Dx()
	m := make(matrix, side)
	for y := range m {
		m[y] = make([]bool, side)
		for x := range m[y] {
			m[y][x] = color.GrayModel.Convert(code.At(x, y)).(color.Gray).Y < 128
		}
	}
	return m
}

// drawn gives the operators that draw the code, its bottom left corner at x, y and its side, all in points: each row is
// one line as thick as a module, its dashes the dark modules.
func (m matrix) drawn(x, y, side float64) string {
	b := appendNumber([]byte("q "), side/float64(len(m)), 4)
	b = append(appendNumber(append(b, " 0 0 "...), side/float64(len(m)), 4), ' ')
	b = append(appendNumber(append(appendNumber(b, x, 2), ' '), y, 2), " cm\n0 G 0 J 1.03 w\n"...) // no slits between rows
	for i, modules := range m {
		b = append(b, '[')
		for _, n := range runsOf(modules) {
			b = append(strconv.AppendInt(b, int64(n), 10), ' ')
		}
		at := appendNumber(nil, float64(len(m)-i)-0.5, 1)
		b = append(append(append(b, "] 0 d 0 "...), at...), " m "...)
		b = append(append(strconv.AppendInt(b, int64(len(modules)), 10), ' '), at...)
		b = append(b, " l S\n"...)
	}
	return string(append(b, 'Q'))
}

// runsOf are the lengths of dark and light runs in turn, dark first; of an even number, so that nothing repeats.
func runsOf(modules []bool) []int {
	runs, dark := []int{0}, true
	for _, m := range modules {
		if m != dark {
			runs, dark = append(runs, 0), m
		}
		runs[len(runs)-1]++
	}
	if len(runs)%2 == 1 {
		runs = append(runs, len(modules))
	}
	return runs
}
