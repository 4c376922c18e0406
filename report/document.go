// Package report says what a report says: its words and results.json. The folders below it write numbers (notation), draw (figure), and
// make one format each.
package report

import (
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"path"

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
	Inputs     []job.Source // every file read, in the order of the job: job.yaml, the table, the spectra, own sentences
	Blank      []string     // what the job leaves blank and a report needs, in the words of job.yaml's keys
	Words      *Words       // the report's sentences in its language
}

// Options are what a document needs beyond its assessment.
type Options struct {
	Tool          Tool
	Templates     fs.FS  // the embedded templates; wording/<language>/*.tmpl is read
	Overrides     fs.FS  // a laboratory's own blocks; nil where there are none
	OverridesName string // what the user calls that folder, for messages and the list of inputs; blank: job.yaml's wording
	Words         *Words // the sentences where they have been read already; nil: they are read from Templates and Overrides
}

// New makes the document of an assessment. Its error is about the sentences: the laboratory's own ones
// are positioned spectrum.Errors.
func New(a *health.Assessment, o Options) (*Document, error) {
	name := o.OverridesName
	if name == "" {
		name = a.Job.Wording
	}
	words, err := o.words(a.Job.Language, name)
	if err != nil {
		return nil, err
	}
	own, err := sources(o.Overrides, name)
	if err != nil {
		return nil, err
	}
	return &Document{
		Tool:       o.Tool,
		Assessment: a,
		Inputs:     append(inputs(a), own...),
		Blank:      blank(a.Job),
		Words:      words,
	}, nil
}

func (o Options) words(language, name string) (*Words, error) {
	if o.Words != nil {
		return o.Words, nil
	}
	return ReadWords(o.Templates, language, o.Overrides, name)
}

// inputs lists the files of a job, each once, in the order in which a reader meets them.
func inputs(a *health.Assessment) []job.Source {
	var list []job.Source
	seen := map[string]bool{}
	add := func(s job.Source) {
		if s.File != "" && !seen[s.File] {
			seen[s.File] = true
			list = append(list, s)
		}
	}
	for _, s := range a.Job.Sources {
		add(s)
	}
	for _, cell := range a.Cells.All() {
		for _, m := range cell.Measurements {
			add(job.Source{File: m.Row.File, SHA256: m.SHA256})
		}
	}
	return list
}

// sources lists the files of a folder of sentences with their digests.
func sources(folder fs.FS, name string) ([]job.Source, error) {
	if folder == nil {
		return nil, nil
	}
	files, err := fs.Glob(folder, "*.tmpl")
	if err != nil {
		return nil, err
	}
	list := make([]job.Source, len(files))
	for i, file := range files {
		text, err := readSentences(folder, file)
		if err != nil {
			return nil, err
		}
		digest := sha256.Sum256(text)
		list[i] = job.Source{File: path.Join(name, file), SHA256: hex.EncodeToString(digest[:]), Bytes: len(text)}
	}
	return list, nil
}
