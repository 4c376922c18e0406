package main

import (
	"io"
	"os"

	"ohmledger/health"
)

// scratch is files for what is too long for memory, which nobody else is to see.
type scratch struct {
	files  []*os.File
	named  []string // those that the system does not let go while they are open
	stores *os.File // one of them, which holds all stores; nil: none was asked for
}

// open makes an empty file.
func (s *scratch) open() (io.ReadWriteSeeker, error) { return s.create() }

// store is room for an assessment, nil where there is none to be had: memory has to do then. All stores lie in one file, since a job
// may have more parts than files may be open; so each is filled before the next is asked for.
func (s *scratch) store() health.Store {
	if s.stores == nil {
		f, err := s.create()
		if err != nil {
			return nil
		}
		s.stores = f
	}
	from, err := s.stores.Seek(0, io.SeekEnd)
	if err != nil {
		return nil
	}
	return stretch{s.stores, from}
}

// stretch is a file from a place on.
type stretch struct {
	*os.File
	from int64
}

// ReadAt reads from a place of the stretch.
func (s stretch) ReadAt(p []byte, at int64) (int, error) { return s.File.ReadAt(p, s.from+at) }

func (s *scratch) create() (*os.File, error) {
	f, err := os.CreateTemp("", "ohmledger-*")
	if err != nil {
		return nil, err
	}
	s.files = append(s.files, f)
	if os.Remove(f.Name()) != nil { // elsewhere an open file has no name any more, so that even a crash leaves none
		s.named = append(s.named, f.Name())
	}
	return f, nil
}

// clear takes all files away.
func (s *scratch) clear() {
	for _, f := range s.files {
		_ = f.Close()
	}
	for _, name := range s.named {
		_ = os.Remove(name)
	}
}
