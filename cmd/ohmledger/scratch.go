package main

import (
	"io"
	"os"

	"ohmledger/health"
)

// scratch is files for what is too long for memory, which nobody else is to see.
type scratch struct{ files []*os.File }

// open makes an empty file.
func (s *scratch) open() (io.ReadWriteSeeker, error) { return s.create() }

// store is room for an assessment, nil where there is none to be had: memory has to do then.
func (s *scratch) store() health.Store {
	f, err := s.create()
	if err != nil {
		return nil
	}
	return f
}

func (s *scratch) create() (*os.File, error) {
	f, err := os.CreateTemp("", "ohmledger-*")
	if err != nil {
		return nil, err
	}
	_ = os.Remove(f.Name()) // where the system lets open files go it has no name any more, so that even a crash leaves none
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
