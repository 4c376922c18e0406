package job

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"

	"ohmledger/fit/spectrum"
)

const jobFile = "job.yaml"

// Read reads a job folder: job.yaml and the measurement table. The file system begins at the job folder and
// should not lead out of it (os.Root.FS). The error is a spectrum.Errors with the faults of both files, in
// order of place; with one there is no job. Spectra are looked for, but not read.
func Read(files fs.FS) (*Job, error) {
	folder := &folder{files: files}
	j, r := &Job{}, &reading{file: jobFile, folder: folder}
	root := r.readYAML(j)
	tableFaults := j.readTable(folder)
	if len(tableFaults) == 0 {
		r.checkTable(j, root)
	}
	if err := append(limited(r.faults), tableFaults...).Err(); err != nil {
		return nil, err
	}
	j.Defaulted = r.defaulted
	return j, nil
}

// readYAML reads job.yaml and gives its tree, which is blank where it could not be had.
func (r *reading) readYAML(j *Job) place {
	data, fault := j.source(r.folder.files, jobFile, maxBytes)
	if fault != nil {
		if fault.Remedy == "" {
			fault.Remedy = r.folder.likeJobFile()
		}
		r.faults = append(r.faults, fault)
		return place{"", &node{}}
	}
	root := r.parse(string(data))
	if root == nil {
		return place{"", &node{}}
	}
	r.decode(j, place{"", root})
	return place{"", root}
}

func (r *reading) decode(j *Job, root place) {
	if root.shape != group {
		r.fault(root.node, "`ohmledger new` writes a starter to begin from", "%s stands here; job.yaml needs keys: %s", root.found(), alternatives(jobKeys.names()))
		return
	}
	r.names(root, jobKeys.schema())
	jobKeys.read(j, root, r)
	r.check(j, root)
}

// source reads a file of the job and notes its digest.
func (j *Job) source(files fs.FS, name string, most int64) ([]byte, *spectrum.Error) {
	data, err := readFile(files, name, most)
	if err != nil {
		return nil, unreadable(name, most, err)
	}
	j.Sources = append(j.Sources, digest(name, data))
	return data, nil
}

func digest(name string, data []byte) Source {
	sum := sha256.Sum256(data)
	return Source{name, hex.EncodeToString(sum[:]), len(data)}
}

// unreadable words a failure to read a file.
func unreadable(name string, most int64, err error) *spectrum.Error {
	var path *fs.PathError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return &spectrum.Error{File: name, Message: "there is no such file in the job folder"}
	case errors.Is(err, errTooLarge):
		return &spectrum.Error{File: name, Message: fmt.Sprintf("%v; at most %d are read", err, most)}
	case errors.Is(err, errLink):
		return &spectrum.Error{File: name, Message: err.Error(), Remedy: "copy the file itself into the job folder"}
	case errors.As(err, &path):
		return &spectrum.Error{File: name, Message: fmt.Sprintf("cannot be read: %v", path.Err)}
	}
	return &spectrum.Error{File: name, Message: fmt.Sprintf("cannot be read: %v", err)}
}
