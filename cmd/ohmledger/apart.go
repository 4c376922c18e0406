package main

import (
	"errors"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"syscall"

	"ohmledger/health/job"
)

// inputFolders are the folders from which a report is read. Folder is the job's; empty for one that is built in.
func (o order) inputFolders(j *job.Job, folder string) (list []string) {
	if o.wording != "" {
		list = append(list, o.wording)
	}
	if folder == "" {
		return list
	}
	within := []string{"."}
	if j.Wording != "" {
		within = append(within, j.Wording)
	}
	for _, s := range j.Sources {
		within = append(within, path.Dir(s.File))
	}
	for _, m := range j.Measurements {
		within = append(within, path.Dir(m.File))
	}
	slices.Sort(within)
	for _, name := range slices.Compact(within) {
		list = append(list, filepath.Join(folder, filepath.FromSlash(name)))
	}
	return list
}

// apart refuses a folder for outputs that is, or holds, one of the folders with inputs: nothing that is written may ever
// stand in the place of what was read.
func apart(out string, inputs []string) error {
	if err := mayBeFolder(out); err != nil {
		return err
	}
	target, err := os.Stat(out)
	if err != nil {
		return nil // what does not exist holds no inputs; whether it can be made is seen on writing
	}
	for _, input := range inputs {
		above, err := resolved(input)
		if err != nil {
			return err
		}
		for last := ""; above != last; last, above = above, filepath.Dir(above) {
			if info, err := os.Stat(above); err == nil && os.SameFile(info, target) {
				return refuse("%s holds what the report is made from (%s); name a folder without inputs for what is to be written", quoted(out), quoted(input))
			}
		}
	}
	return nil
}

// mayBeFolder refuses a path that is a file or a link to nothing, or lies below one, and what is no path.
func mayBeFolder(name string) error {
	for at, last := filepath.Clean(name), ""; at != last; last, at = at, filepath.Dir(at) {
		info, err := os.Stat(at)
		link, errLink := os.Lstat(at)
		switch {
		case err == nil && info.IsDir():
			return nil
		case err == nil:
			return refuse("%s is a file; name a folder", quoted(at))
		case errors.Is(err, syscall.EINVAL):
			return refuse("%s is no name of a folder", quoted(at))
		case errLink == nil && link.Mode().Type() == fs.ModeSymlink:
			return refuse("%s is a link that leads to nothing; name a folder", quoted(at))
		}
	}
	return nil
}

func sameFile(a, b string) bool {
	first, errFirst := os.Stat(a)
	second, errSecond := os.Stat(b)
	return errFirst == nil && errSecond == nil && os.SameFile(first, second)
}
