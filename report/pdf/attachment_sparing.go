package pdf

import (
	"compress/zlib"
	"io"

	"ohmledger/report/pdf/internal/deflate"
)

// mostAtOnce is how many bytes are compressed together as far as it goes: about a fifth of a second's work.
const mostAtOnce = 1 << 20

// sparing compresses what is written to it, as far as it goes while that is not much, and else on its way.
type sparing struct {
	to    io.Writer
	held  []byte
	haste *zlib.Writer // nil while all is held
}

func (s *sparing) Write(p []byte) (int, error) {
	if s.haste != nil {
		return s.haste.Write(p)
	}
	s.held = append(s.held, p...)
	if len(s.held) <= mostAtOnce {
		return len(p), nil
	}
	var err error
	if s.haste, err = zlib.NewWriterLevel(s.to, zlib.BestCompression); err != nil {
		return 0, err
	}
	_, err = s.haste.Write(s.held)
	s.held = nil
	return len(p), err
}

// close writes what is left.
func (s *sparing) close() error {
	if s.haste != nil {
		return s.haste.Close()
	}
	_, err := s.to.Write(deflate.Compress(s.held))
	return err
}
