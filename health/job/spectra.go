package job

import (
	"io/fs"

	"ohmledger/fit/spectrum"
)

// maxSpectrumBytes is far above any sweep.
const maxSpectrumBytes = 16 << 20

// Spectrum reads the spectrum of a measurement, with its digest for the record. Files begins at the job
// folder, as for Read. The error is a spectrum.Errors; with one there is no spectrum.
func (j *Job) Spectrum(files fs.FS, m Measurement) (*spectrum.Spectrum, Source, error) {
	return j.readSpectrum(files, m.File, spectrum.Read)
}

// Fixture reads the spectrum of the shorted fixture likewise. It panics where the job names none.
func (j *Job) Fixture(files fs.FS) (*spectrum.Spectrum, Source, error) {
	if j.FixtureCorrection == nil || j.FixtureCorrection.File == "" {
		panic("job: no spectrum of the shorted fixture is named")
	}
	return j.readSpectrum(files, j.FixtureCorrection.File, spectrum.ReadFixture)
}

func (j *Job) readSpectrum(files fs.FS, name string, read func(string, []byte, spectrum.Columns) (*spectrum.Spectrum, error)) (*spectrum.Spectrum, Source, error) {
	data, err := readFile(files, name, maxSpectrumBytes)
	if err != nil {
		return nil, Source{}, spectrum.Errors{unreadable(name, maxSpectrumBytes, err)}
	}
	s, err := read(name, data, j.Columns)
	if err != nil {
		return nil, Source{}, err
	}
	return s, digest(name, data), nil
}
