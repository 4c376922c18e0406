package job

import (
	"regexp"
	"slices"
	"strings"

	"ohmledger/fit/spectrum"
)

// text is any text as written, unquoted numbers, dates and true or false included.
type text struct{}

func (text) read(into *string, at place, r *reading) {
	if value, ok := one(at, r, "a text"); ok {
		*into = value
	}
}

// longestText is what a text may have in bytes: as much as a workbook's cell holds, where it will stand.
const longestText = 32_767

// one is the text of a single value; a group or list in its place is refused.
func one(at place, r *reading, allowed string) (value string, ok bool) {
	if len(at.text) > longestText {
		r.refuse(at, "shorten it", "%s is a text of %d bytes; allowed: at most %d", quote(at.text), len(at.text), longestText)
		return "", false
	}
	if at.shape == group || at.shape == list && len(at.items) > 0 {
		r.refuse(at, "write one value after the colon; put quotes round a text that begins with { or [", "%s stands here; allowed: %s", at.found(), allowed)
		return "", false
	}
	return strings.TrimSpace(at.text), at.text != ""
}

// choice is one of a few words.
type choice[S ~string] struct{ words []S }

func (c choice[S]) read(into *S, at place, r *reading) {
	allowed := alternatives(c.words)
	value, ok := one(at, r, allowed)
	switch {
	case !ok:
	case slices.Contains(c.words, S(value)):
		*into = S(value)
	default:
		r.refuse(at, didYouMean(value, c.words), "%s is not known; allowed: %s", quote(value), allowed)
	}
}

// didYouMean offers the word nearest to a mistyped one.
func didYouMean[S ~string](value string, words []S) string {
	known := make([]string, len(words))
	for i, w := range words {
		known[i] = string(w)
	}
	if near := spectrum.Nearest(value, known); near != "" {
		return "did you mean " + near + "?"
	}
	return ""
}

// truth is true or false.
type truth struct{}

func (truth) read(into *bool, at place, r *reading) {
	word := ""
	choice[string]{[]string{"true", "false"}}.read(&word, at, r)
	if word != "" {
		*into = word == "true"
	}
}

// colour is six hexadecimal digits after a #.
type colour struct{}

var sixDigits = regexp.MustCompile(`^#[0-9A-Fa-f]{6}$`)

func (colour) read(into *string, at place, r *reading) {
	value, ok := one(at, r, "a colour")
	if !ok {
		return
	}
	if !sixDigits.MatchString(value) {
		r.refuse(at, "", `%s is no colour; allowed: a # and six hexadecimal digits in quotes, e.g. "#1F4E79"`, quote(value))
		return
	}
	*into = value
}

// location is the path of a file or folder of the job.
type location struct{ kind kind }

func (l location) read(into *string, at place, r *reading) {
	value, ok := one(at, r, "the path of a "+string(l.kind))
	if !ok {
		return
	}
	clean, message, remedy := inside(value)
	if message == "" {
		message, remedy = r.folder.lack(clean, l.kind)
	}
	if message != "" {
		r.refuse(at, remedy, "%s", message)
		return
	}
	*into = clean
}
