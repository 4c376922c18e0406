package main

import (
	"cmp"
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"golang.org/x/sync/errgroup"

	"ohmledger/fit/spectrum"
	"ohmledger/health"
	"ohmledger/health/job"
)

// record is a job folder as read: the job, its spectra, that of the shorted fixture, and the laboratory's logo.
type record struct {
	files   fs.FS // begins at the job folder and does not lead out of it
	job     *job.Job
	inputs  []health.Input
	fixture *spectrum.Spectrum // shorted; nil where the job names none
	logo    []byte
}

// openFolder opens a folder that a user named. Nothing reached through it lies outside, whatever links say.
func openFolder(name, what string) (*os.Root, error) {
	info, err := os.Stat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, refuse("there is no %s %s", what, quoted(name))
	case err != nil:
		return nil, refuse("the %s cannot be read: %v", what, err)
	case !info.IsDir():
		return nil, refuse("%s is a file; name the %s %s that holds it", quoted(name), what, quoted(filepath.Dir(name)))
	}
	root, err := os.OpenRoot(name)
	if err != nil {
		return nil, refuse("the %s cannot be read: %v", what, err)
	}
	return root, nil
}

// readRecord reads everything in a job folder that a report rests on. All faults of all spectra come at once.
func readRecord(ctx context.Context, files fs.FS, m *meter) (*record, error) {
	j, err := job.Read(files)
	if err != nil {
		return nil, err
	}
	r := &record{files: files, job: j}
	beside := []error{r.readLogo(), r.readFixture()}
	faults, err := r.readSpectra(ctx, m)
	if err != nil {
		return nil, err
	}
	return r, collected(append(beside, faults...))
}

// readSpectra fills inputs, and gives the faults of each, in the order of the measurements. The files join the job's.
func (r *record) readSpectra(ctx context.Context, m *meter) (faults []error, err error) {
	total := len(r.job.Measurements)
	r.inputs, faults = make([]health.Input, total), make([]error, total)
	sources := make([]job.Source, total)
	if total >= manySpectra {
		economise(total, storageLimit())
	}
	var done atomic.Int64
	var known grids
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(runtime.GOMAXPROCS(0))
	for i := range r.job.Measurements {
		row := &r.job.Measurements[i]
		group.Go(func() error {
			return guarded(func() error {
				s, source, err := r.job.Spectrum(r.files, *row)
				known.share(s)
				r.inputs[i] = health.Input{Row: row, Spectrum: s, SHA256: source.SHA256}
				sources[i], faults[i] = source, err
				m.tell("reading spectra:", int(done.Add(1)), total)
				return ctx.Err()
			})
		})
	}
	err = group.Wait()
	r.job.Sources = append(r.job.Sources, sources...)
	return faults, err
}

// manySpectra is from how many on storage is collected early while they are read.
const manySpectra = 5000

// mostGrids is how many sets of frequencies are looked through for one that stands already.
const mostGrids = 8

// grids lets spectra that were measured at the same frequencies, and stand in like lines of their files, hold these once.
type grids struct {
	lock        sync.Mutex
	frequencies [][]float64
	lines       [][]int
}

func (g *grids) share(s *spectrum.Spectrum) {
	if s == nil {
		return
	}
	g.lock.Lock()
	defer g.lock.Unlock()
	s.Frequency, g.frequencies = once(s.Frequency, g.frequencies)
	s.Line, g.lines = once(s.Line, g.lines)
}

// once is a list that is known already in place of an equal one, and the latest that are known.
func once[T cmp.Ordered](list []T, known [][]T) ([]T, [][]T) {
	at := slices.IndexFunc(known, func(k []T) bool { return slices.Equal(k, list) })
	if at >= 0 {
		return known[at], known
	}
	known = append(known, list)
	return list, known[max(0, len(known)-mostGrids):]
}

// readFixture reads the spectrum of the shorted fixture, and counts it among the job's files.
func (r *record) readFixture() error {
	if c := r.job.FixtureCorrection; c == nil || c.File == "" {
		return nil
	}
	s, source, err := r.job.Fixture(r.files)
	if err != nil {
		return err
	}
	r.fixture = s
	r.job.Sources = append(r.job.Sources, source)
	return nil
}

// collected puts the faults of many files into one list.
func collected(errs []error) error {
	var all spectrum.Errors
	for _, err := range errs {
		var list spectrum.Errors
		var single *spectrum.Error
		switch {
		case err == nil:
		case errors.As(err, &list):
			all = append(all, list...)
		case errors.As(err, &single):
			all = append(all, single)
		default:
			return err
		}
	}
	return all.Err()
}
