package pdf

import (
	"bytes"
	"io"
)

// mostHeld is what a spill keeps in memory, bytes; what is longer goes aside where there is room.
const mostHeld = 8 << 20

// spill keeps bytes until they are written on, which for a large lot are too many for memory.
type spill struct {
	aside func() (io.ReadWriteSeeker, error) // makes room outside of memory; nil: there is none
	held  bytes.Buffer
	file  io.ReadWriteSeeker // nil: all are held
	size  int64
}

func (s *spill) Write(p []byte) (int, error) {
	s.size += int64(len(p))
	if s.file == nil && (s.aside == nil || s.held.Len()+len(p) <= mostHeld) {
		return s.held.Write(p)
	}
	if s.file == nil {
		var err error
		if s.file, err = s.aside(); err != nil {
			return 0, err
		}
		if _, err := s.held.WriteTo(s.file); err != nil {
			return 0, err
		}
		s.held = bytes.Buffer{}
	}
	return s.file.Write(p)
}

// WriteTo writes all bytes, as often as it is asked to.
func (s *spill) WriteTo(w io.Writer) (int64, error) {
	if s.file == nil {
		n, err := w.Write(s.held.Bytes())
		return int64(n), err
	}
	if _, err := s.file.Seek(0, io.SeekStart); err != nil {
		return 0, err
	}
	return io.CopyN(w, s.file, s.size)
}
