package job

import (
	"strings"
	"testing"
	"testing/fstest"
)

// jobWith is a sound job folder whose job.yaml is text.
func jobWith(t testing.TB, text string) fstest.MapFS {
	t.Helper()
	return fstest.MapFS{
		jobFile:   {Data: []byte(text)},
		textTable: {Data: []byte(soundTable)},
		"spectra/A1.csv": {Data: []byte(soundSpectrum)}, "spectra/A2.csv": {Data: []byte(soundSpectrum)},
		"spectra/shorted.csv": {Data: []byte(soundSpectrum)}, "logo.png": {Data: []byte("picture")}, "words/blocks.tmpl": {Data: []byte("")},
	}
}

const soundTable = `cell,file,measured_at,temperature_c,pallet
A1,spectra/A1.csv,2026-03-01,25,P7
A2,spectra/A2.csv,2026-03-02,25,P8
`

const soundSpectrum = `frequency_hz,z_real_ohm,z_imag_ohm
1000,0.030,-0.001
100,0.035,-0.004
10,0.040,-0.005
1,0.045,-0.004
`

// leaves are the paths of all keys of a schema, groups included.
func leaves(s *schema, path string) []string {
	var paths []string
	for _, name := range s.order {
		below := s.Properties[name]
		if below.Items != nil {
			below = below.Items
		}
		paths = append(paths, strings.TrimPrefix(path+"."+name, "."))
		paths = append(paths, leaves(below, strings.TrimPrefix(path+"."+name, "."))...)
	}
	return paths
}
