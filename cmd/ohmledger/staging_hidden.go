package main

import (
	"crypto/rand"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// hidden is a staging folder, claimed by this process. It holds:
//
//	journal.json    the names of all files, and who writes them
//	new/            the files that are to come
//	old/            the ones that were there, while they are replaced
//	links/          links that are about to be put into the target
//	current         a link to old, then to new: where the target's links lead
//	moving          a mark: files are replaced one by one, where there are no links
type hidden struct {
	folder  string
	journal journal
	free    func() error // gives up the claim
}

const (
	stagePrefix = ".ohmledger-"
	journalName = "journal.json"
	newRoom     = "new"
	oldRoom     = "old"
	linkRoom    = "links"
	currentLink = "current"
	nextLink    = "next"
	movingMark  = "moving"
)

// stageName is how staging folders are called.
var stageName = regexp.MustCompile(`^\.ohmledger-[0-9a-f]{12}$`)

// journal says what a staging folder is, to the program and to whoever finds it.
type journal struct {
	Note  string   `json:"ohmledger"`
	Host  string   `json:"host"`
	PID   int      `json:"pid"`
	Names []string `json:"names"`
}

// journalHead begins every journal.
const journalHead = "{\n \"ohmledger\": \"files on their way"

const journalNote = "files on their way into place; where no ohmledger runs any more, the next report, merge or demo into the same folder puts it right and removes this one; until then please leave it"

// makeHidden makes a staging folder of an unused name with the usual permissions, since its content becomes the target's. The
// caller has locked the folder in which it is made, so that nobody takes it for left before it is claimed.
func makeHidden(place string, names []string) (hidden, error) {
	suffix := make([]byte, 6)
	rand.Read(suffix) // never fails
	h := hidden{folder: filepath.Join(place, stagePrefix+hex.EncodeToString(suffix)), free: func() error { return nil }}
	if err := os.Mkdir(h.folder, 0o777); err != nil {
		return h, err
	}
	host, _ := os.Hostname() // empty serves too
	h.journal = journal{journalNote, host, os.Getpid(), names}
	free, err := claim(h.folder)
	if err == nil {
		h.free = free
		err = h.begin()
	}
	if err != nil {
		h.clear()
		h.free()
	}
	return h, err
}

// begin writes the journal and makes the room for what is to come.
func (h *hidden) begin() error {
	text, err := json.MarshalIndent(h.journal, "", " ")
	if err != nil {
		return err
	}
	return errors.Join(os.WriteFile(h.in(journalName), append(text, '\n'), 0o666), os.Mkdir(h.in(newRoom), 0o777))
}

// in is a path within the staging folder; elements may be slash-separated.
func (h *hidden) in(elements ...string) string {
	return filepath.Join(h.folder, filepath.FromSlash(path.Join(elements...)))
}

// beyond is the path of a file in the folder that holds the staging folder.
func (h *hidden) beyond(name string) string {
	return filepath.Join(filepath.Dir(h.folder), filepath.FromSlash(name))
}

// linkTo is the content of a link in the place of a file in the folder that holds the staging folder. It keeps leading there
// when that folder is moved.
func (h *hidden) linkTo(name string) string {
	return filepath.FromSlash(strings.Repeat("../", strings.Count(name, "/")) + path.Join(filepath.Base(h.folder), currentLink, name))
}

// readJournal reads the journal of a staging folder that some run made. One that is cut short, of a run that ended while it
// wrote it, is empty: nothing was begun then.
func readJournal(folder string) (journal, error) {
	var j journal
	text, err := os.ReadFile(filepath.Join(folder, journalName))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return j, nil
	case err != nil:
		return j, err
	case json.Unmarshal(text, &j) != nil && strings.HasPrefix(journalHead, string(text[:min(len(text), len(journalHead))])):
		return journal{}, nil
	case j.Note == "" || slices.ContainsFunc(j.Names, func(name string) bool { return !filepath.IsLocal(filepath.FromSlash(name)) }):
		return j, fmt.Errorf("%s is none of ohmledger", quoted(filepath.Join(folder, journalName)))
	}
	return j, nil
}

// clear removes the staging folder with the files that the journal names, and nothing else: what somebody else put there
// stays, and is an error. Files that the target shows by links are put there first.
func (h *hidden) clear() error {
	if err := h.settle(); err != nil {
		return err
	}
	own := []string{journalName}
	if h.journal.Note != "" {
		h.empty()
		own = []string{nextLink, currentLink, movingMark, journalName}
	}
	entries, err := os.ReadDir(h.folder)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if !slices.Contains(own, e.Name()) {
			return fmt.Errorf("it holds what ohmledger did not put there: %s", quoted(e.Name()))
		}
	}
	for _, name := range own {
		os.Remove(h.in(name))
	}
	return os.Remove(h.folder)
}

// empty removes the files that the journal names, and their folders as far as nothing else is in them.
func (h *hidden) empty() {
	folders := h.journal.folders()
	for _, room := range []string{linkRoom, oldRoom, newRoom} {
		for _, name := range h.journal.Names {
			os.Remove(h.in(room, name)) // what cannot be removed is seen by clear
		}
		for _, folder := range folders {
			os.Remove(h.in(room, folder))
		}
	}
}

// folders are those that names lie in, the inner ones first, and the room itself.
func (j *journal) folders() (list []string) {
	for _, name := range j.Names {
		for at := path.Dir(name); at != "."; at = path.Dir(at) {
			list = append(list, at)
		}
	}
	slices.Sort(list)
	list = slices.Compact(list)
	slices.Reverse(list)
	return append(list, ".")
}
