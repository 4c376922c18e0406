package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"ohmledger/health/job"
	"ohmledger/templates"
)

type newCommand struct {
	Job string `arg:"" name:"JOB" help:"Folder to make; it may exist, as long as none of the files do."`
}

// schemaFile is named in the first line of the starter's job.yaml, where editors look for it.
const schemaFile = "job.schema.json"

func (n *newCommand) Run(c *console) error {
	files, err := starter()
	if err != nil {
		return err
	}
	if err := unpack(files, n.Job); err != nil {
		return err
	}
	c.say("%s is a job folder now, with:", legible(n.Job))
	for _, f := range files {
		c.say("  %s", f.name)
	}
	c.say("Fill in job.yaml, put your spectra into spectra and a row for each into measurements.csv, then:")
	c.say("  ohmledger report %s", quoted(n.Job))
	return nil
}

// file is one of the program's own files.
type file struct {
	name string // slash-separated
	data []byte
}

// starter is the commented job folder with the schema of job.yaml.
func starter() ([]file, error) {
	folder, err := fs.Sub(templates.FS(), "job")
	if err != nil {
		return nil, err
	}
	files, err := filesOf(folder)
	return append(files, file{schemaFile, job.Schema()}), err
}

// filesOf lists all files of a tree, in the order of their names.
func filesOf(tree fs.FS) (files []file, err error) {
	err = fs.WalkDir(tree, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		data, err := fs.ReadFile(tree, name)
		files = append(files, file{name, data})
		return err
	})
	return files, err
}

// unpack writes all files into a folder, or none where one of them is there already.
func unpack(files []file, folder string) (err error) {
	if err := absent(files, folder); err != nil {
		return err
	}
	var written []string
	defer func() {
		if err != nil {
			for _, name := range written {
				os.Remove(name) // what cannot be removed is left; the error already says what went wrong
			}
		}
	}()
	for _, f := range files {
		name := filepath.Join(folder, filepath.FromSlash(f.name))
		if err := writeNew(name, f.data); err != nil {
			return err
		}
		written = append(written, name)
	}
	return nil
}

// absent refuses a folder that holds one of the files, and lists all that it does.
func absent(files []file, folder string) error {
	if err := mayBeFolder(folder); err != nil {
		return err
	}
	var there []string
	for _, f := range files {
		if _, err := os.Lstat(filepath.Join(folder, filepath.FromSlash(f.name))); err == nil {
			there = append(there, f.name)
		}
	}
	if len(there) == 0 {
		return nil
	}
	return refuse("nothing was written, since %s already holds\n  %s\nname another folder", quoted(folder), strings.Join(there, "\n  "))
}

// writeNew writes a file that must not exist, and the folders above it.
func writeNew(name string, data []byte) error {
	if err := os.MkdirAll(filepath.Dir(name), 0o777); err != nil {
		return err
	}
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Close())
}

// quoted puts a path that holds blanks or worse in quotes, so that it can be copied into a shell.
func quoted(name string) string {
	plain := func(r rune) bool {
		return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune("-_./:", r)
	}
	if name != "" && strings.IndexFunc(name, func(r rune) bool { return !plain(r) }) < 0 {
		return name
	}
	return fmt.Sprintf("%q", name)
}
