package main

import (
	"context"
	"fmt"
	"io"
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

func (n *newCommand) Run(ctx context.Context, c *console) error {
	files, err := starter()
	if err != nil {
		return err
	}
	m := c.meter()
	defer m.clear()
	if err := unpack(ctx, files, n.Job, m); err != nil {
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
func unpack(ctx context.Context, files []file, folder string, m *meter) error {
	if err := mayBeFolder(folder); err != nil {
		return err
	}
	if err := absent(files, folder, m); err != nil {
		return err
	}
	list := make([]output, len(files))
	for i, f := range files {
		list[i] = output{f.name, func(w io.Writer) error { _, err := w.Write(f.data); return err }}
	}
	return writeSets(ctx, []set{{folder: folder, files: list, fresh: true}}, func() error { return nil }, m)
}

// absent refuses a folder that holds one of the files, and lists all that it does. What a run left that was ended is no such file.
func absent(files []file, folder string, m *meter) error {
	target, err := resolved(folder)
	if err != nil {
		return err
	}
	_, release, err := prepare(target, m)
	if err != nil {
		return err
	}
	release()
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
