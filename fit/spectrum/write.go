package spectrum

import (
	"bufio"
	"io"
	"strconv"
)

// Write writes a spectrum as a native file: comma-delimited text with every digit, so that Read gives
// back the same frequencies and impedances. The error is the writer's.
func Write(w io.Writer, s *Spectrum) error {
	b := bufio.NewWriter(w)
	b.WriteString("frequency_hz,z_real_ohm,z_imag_ohm\n")
	for i, z := range s.Impedance {
		line := strconv.AppendFloat(b.AvailableBuffer(), s.Frequency[i], 'g', -1, 64)
		line = strconv.AppendFloat(append(line, ','), real(z), 'g', -1, 64)
		line = strconv.AppendFloat(append(line, ','), imag(z), 'g', -1, 64)
		b.Write(append(line, '\n'))
	}
	return b.Flush() // a bufio.Writer keeps the first error
}
