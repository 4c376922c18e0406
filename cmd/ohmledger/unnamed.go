package main

import (
	"io/fs"
	"path"
	"slices"
	"strings"

	"ohmledger/report"
)

// tellUnnamed says which files beside a job's spectra no row of its table names: a row that was forgotten is a cell or a visit lost.
func (c *console) tellUnnamed(files fs.FS, d *report.Document) {
	found := unnamed(files, d)
	if len(found) == 0 {
		return
	}
	shown := found[:min(len(found), 3)]
	more := ""
	if left := len(found) - len(shown); left > 0 {
		more = " and " + count(left, "more file", "more files")
	}
	c.say("- No row of the table names %s%s: not judged.", legible(strings.Join(shown, ", ")), more)
}

// unnamed are the files in the folders of a job's spectra, with an ending that one of these has, that the report does not rest on.
func unnamed(files fs.FS, d *report.Document) (list []string) {
	folders, endings, used := map[string]bool{}, map[string]bool{}, map[string]bool{}
	for _, m := range d.Assessment.Job.Measurements {
		if folder := path.Dir(m.File); folder != "." {
			folders[folder], endings[path.Ext(m.File)] = true, true
		}
	}
	for _, source := range d.Inputs {
		used[path.Clean(source.File)] = true
	}
	for folder := range folders {
		entries, _ := fs.ReadDir(files, folder) // the spectra there have been read; what cannot be listed has no file to miss
		for _, e := range entries {
			if name := path.Join(folder, e.Name()); e.Type().IsRegular() && endings[path.Ext(name)] && !used[name] {
				list = append(list, name)
			}
		}
	}
	slices.Sort(list)
	return list
}
