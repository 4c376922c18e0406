package main

import (
	"io"
	"os"
)

// scratch is files for what is too long for memory, which nobody else is to see.
type scratch struct{ files []*os.File }

// open makes an empty file. Where the system lets open files go it has no name any more, so that even a crash leaves none.
func (s *scratch) open() (io.ReadWriteSeeker, error) {
	f, err := os.CreateTemp("", "ohmledger-*")
	if err != nil {
		return nil, err
	}
	_ = os.Remove(f.Name())
	s.files = append(s.files, f)
	return f, nil
}

// clear takes all files away.
func (s *scratch) clear() {
	for _, f := range s.files {
		_ = f.Close()
		_ = os.Remove(f.Name())
	}
}
