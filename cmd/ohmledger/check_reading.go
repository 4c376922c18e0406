package main

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"ohmledger/fit/spectrum"
	"ohmledger/health"
	"ohmledger/health/job"
)

// mostBytes is far above any sweep.
const mostBytes = 16 << 20

// read reads a spectrum outside of a job. Its faults are told with what to add to the command line.
func (c *check) read(name string) (health.Input, error) {
	columns, err := columnsOf(c.Columns)
	if err != nil {
		return health.Input{}, err
	}
	data, err := readWhole(name)
	if err != nil {
		return health.Input{}, err
	}
	s, err := spectrum.Read(filepath.ToSlash(name), data, columns)
	if err != nil {
		return health.Input{}, onCommandLine(err)
	}
	digest := sha256.Sum256(data)
	s.Notes = slices.DeleteFunc(s.Notes, func(n spectrum.Note) bool { return n.Kind == spectrum.Mapped }) // of a job.yaml that is not there
	return health.Input{Row: &job.Measurement{File: s.File}, Spectrum: s, SHA256: hex.EncodeToString(digest[:])}, nil
}

// readWhole reads a file that is no larger than a spectrum can be.
func readWhole(name string) ([]byte, error) {
	if info, err := os.Stat(name); err == nil && info.Mode()&os.ModeNamedPipe != 0 && !strings.HasPrefix(name, "/dev/") {
		return nil, refuse("%s is a pipe, whose end may never come; write the spectrum into a file", quoted(name))
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, cannotRead(name, err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, mostBytes+1))
	switch {
	case err != nil:
		return nil, cannotRead(name, err)
	case len(data) > mostBytes:
		return nil, refuse("%s is larger than a spectrum can be; at most %d bytes are read", quoted(name), mostBytes)
	}
	return data, nil
}

func cannotRead(name string, err error) error {
	var at *os.PathError
	if errors.As(err, &at) {
		err = at.Err
	}
	return refuse("%s cannot be read: %v", quoted(name), err)
}

// jobAbove is the job folder that a spectrum lies in, empty where it lies in none.
func jobAbove(name string) string {
	folder := filepath.Dir(name)
	for range 2 { // beside job.yaml or in its spectra
		if info, err := os.Stat(filepath.Join(folder, jobFile)); err == nil && !info.IsDir() {
			return folder
		}
		folder = filepath.Join(folder, "..")
	}
	return ""
}
