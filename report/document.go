// Package report says what a report says: numbers rounded by their uncertainty, figures, words, and
// results.json. The folders below it write one format each.
package report

import (
	"io/fs"

	"ohmledger/health"
	"ohmledger/health/job"
)

// Tool identifies the program that made a report.
type Tool struct {
	Name    string // "ohmledger"
	Version string // of the program
	Model   string // of the circuit and the judgement: changes when numbers may
	Build   string // revision of the source, empty where unknown
}

// Document is a report before it takes a format: what was found, and what the report says around it.
type Document struct {
	Tool       Tool
	Assessment *health.Assessment
	Inputs     []job.Source // every file read, in the order of the job: job.yaml, the table, the spectra
	Blank      []string     // what the job leaves blank and a report needs, in the words of job.yaml's keys
	Words      *Words       // the report's sentences in its language
}

// Options are what a document needs beyond its assessment.
type Options struct {
	Tool      Tool
	Templates fs.FS // the embedded templates; wording/<language>/*.tmpl is read
	Overrides fs.FS // a laboratory's own blocks; nil where there are none
}
