package job

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"regexp"
	"strings"

	"golang.org/x/text/unicode/norm"
)

// folder is the job folder. Each folder within it is listed once, so that ten thousand spectra cost one listing.
type folder struct {
	files    fs.FS
	listings map[string]*listing
}

// listing is what one folder holds.
type listing struct {
	kinds  map[string]fs.FileMode
	folded map[string]string // names by their folded form
	err    error
}

// fold makes names equal that differ in case, or in the two ways in which Unicode writes an accented letter.
func fold(name string) string { return strings.ToLower(norm.NFC.String(name)) }

func (f *folder) list(name string) *listing {
	if known, ok := f.listings[name]; ok {
		return known
	}
	entries, err := fs.ReadDir(f.files, name)
	l := &listing{kinds: make(map[string]fs.FileMode, len(entries)), folded: make(map[string]string, len(entries)), err: err}
	for _, e := range entries {
		l.kinds[e.Name()] = e.Type()
		l.folded[fold(e.Name())] = e.Name()
	}
	if f.listings == nil {
		f.listings = map[string]*listing{}
	}
	f.listings[name] = l
	return l
}

// likeJobFile says what to do where there is no job.yaml: rename the file that was meant, or begin.
func (f *folder) likeJobFile() string {
	for _, name := range []string{jobFile, "job.yml", "job.yaml.txt"} {
		if near, ok := f.list(".").folded[name]; ok && near != jobFile {
			return "rename " + quote(near) + ", which is there, to " + jobFile
		}
	}
	if _, there := f.list(".").kinds[jobFile]; there {
		return ""
	}
	return "`ohmledger new` writes a starter to begin from"
}

// kind names what a path must lead to.
type kind string

const (
	aFile   kind = "file"
	aFolder kind = "folder"
)

// lack says what is wrong with a clean path of the job, and what to do; nothing where all is well.
func (f *folder) lack(name string, want kind) (message, remedy string) {
	if name == "." {
		return "", ""
	}
	parent, base := path.Split(name)
	parent = path.Clean(parent)
	if message, remedy := f.lack(parent, aFolder); message != "" {
		return message, remedy
	}
	l := f.list(parent)
	if l.err != nil {
		return fmt.Sprintf("folder %s cannot be listed (%v)", quote(parent), l.err), "see whether it may be read"
	}
	mode, exists := l.kinds[base]
	if !exists {
		return l.missing(parent, base, want)
	}
	if mode&fs.ModeSymlink != 0 {
		info, err := fs.Stat(f.files, name)
		if err != nil {
			return fmt.Sprintf("%s is a link that leads out of the job folder or to nothing", quote(name)), "copy the file into the job folder"
		}
		mode = info.Mode().Type()
	}
	return unlike(name, mode, want)
}

// missing names what comes near a name that is not there.
func (l *listing) missing(parent, base string, want kind) (message, remedy string) {
	message = fmt.Sprintf("there is no %s %s", want, quote(path.Join(parent, base)))
	for _, ending := range []string{"", ".csv", ".txt", ".xlsx"} {
		near, ok := l.folded[fold(base+ending)]
		if ok && ending == "" && norm.NFC.String(near) == norm.NFC.String(base) {
			return message, "the job folder has one that looks the same and is stored in another Unicode form; copy its name from there, or rename it"
		}
		if ok {
			return message, "the job folder has " + quote(path.Join(parent, near)) + "; write the name exactly so"
		}
	}
	return message, "paths begin at the job folder; see that the name is right and the " + string(want) + " has been copied there"
}

// unlike says that a path leads to something else than wanted.
func unlike(name string, mode fs.FileMode, want kind) (message, remedy string) {
	switch {
	case want == aFolder && !mode.IsDir():
		return quote(name) + " is a file; a folder is needed", ""
	case want == aFile && mode.IsDir():
		return quote(name) + " is a folder; a file is needed", ""
	case want == aFile && mode != 0:
		return quote(name) + " is a device or pipe; a file is needed", ""
	}
	return "", ""
}

// driveLetter begins an absolute path on some systems.
var driveLetter = regexp.MustCompile(`^[A-Za-z]:`)

// inside cleans a path that begins at the job folder and stays in it; others get a message.
func inside(text string) (clean, message, remedy string) {
	const fromHere, longest = "write it as it is seen from the job folder, e.g. spectra/A1.csv", 4096 // bytes; no system takes more
	switch {
	case len(text) > longest:
		return "", fmt.Sprintf("%s is a path of %d bytes; at most %d are allowed", quote(text), len(text), longest), ""
	case strings.ContainsFunc(text, func(r rune) bool { return r < ' ' || r == 0x7F }):
		return "", "the path holds an invisible control character", "type the name anew"
	case strings.Contains(text, "://"):
		return "", quote(text) + " is an address on a network; a job's files lie in its folder", "copy the file into the job folder and " + fromHere
	case strings.HasPrefix(text, "/") || strings.HasPrefix(text, `\`) || driveLetter.MatchString(text):
		return "", quote(text) + " is an absolute path; a job's paths begin at the job folder", fromHere
	case strings.Contains(text, `\`):
		return "", quote(text) + ` holds a \`, "folders are parted by /: " + strings.ReplaceAll(text, `\`, "/")
	}
	clean = path.Clean(text)
	if clean == "." || strings.HasPrefix(clean, "..") && !fs.ValidPath(clean) || strings.Contains("/"+text+"/", "/../") {
		return "", quote(text) + " leads out of the job folder", "copy the file into the job folder and " + fromHere
	}
	return clean, "", ""
}

// errLink says that a file is not to be had.
var errLink = errors.New("is a link that leads out of the job folder or to nothing")

// errTooLarge says that a file is larger than it may be.
var errTooLarge = errors.New("too large")

// readFile reads a regular file of at most so many bytes. It looks before it opens, since opening a pipe may never end.
func readFile(files fs.FS, name string, most int64) ([]byte, error) {
	info, err := fs.Stat(files, name)
	if link, errLstat := fs.Lstat(files, name); err != nil && errLstat == nil && link.Mode()&fs.ModeSymlink != 0 {
		return nil, errLink
	}
	if err != nil {
		return nil, err
	}
	if message, _ := unlike(name, info.Mode().Type(), aFile); message != "" {
		return nil, errors.New(message)
	}
	if info.Size() > most {
		return nil, fmt.Errorf("%w: %d bytes", errTooLarge, info.Size())
	}
	file, err := files.Open(name)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	data, err := io.ReadAll(io.LimitReader(file, most+1))
	if err == nil && int64(len(data)) > most {
		return nil, errTooLarge
	}
	return data, err
}
