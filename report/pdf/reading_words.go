package pdf

import (
	"bytes"
	"regexp"
	"slices"
	"strconv"
)

// words reads what the pages of a file say.
type words struct {
	*bodies
	places    map[string]int
	resources string              // the number of what all pages have in common
	codes     *codes              // nil: texts are UTF-16
	forms     map[string][]string // what those say, by their names with a stroke
	pictures  map[string]bool
}

var (
	sharedEntry   = regexp.MustCompile(`/XObject <<\n((?:/[A-Za-z0-9]+ [0-9]{1,9} 0 R\n)*)>>`)
	sharedName    = regexp.MustCompile(`(/[A-Za-z0-9]+) ([0-9]{1,9}) 0 R\n`)
	fontKind      = regexp.MustCompile(`/Type ?/Font\n/Subtype ?/([A-Za-z0-9]+)`)
	encodingEntry = regexp.MustCompile(`/Encoding (/Identity-H|[0-9]{1,9} 0 R)\n`)
	formEntries   = regexp.MustCompile(`^<</Subtype/Form/BBox [0-9]{1,9} 0 R(?:/Resources ([0-9]{1,9}) 0 R)?(/Filter/FlateDecode)?/Length [0-9]+>>\s*$`)
)

// wordsOf looks for what the pages have in common: it must be said once, so that there are no two ways to read them.
func wordsOf(o *bodies) (w *words, err error) {
	w = &words{bodies: o, places: map[string]int{}, forms: map[string][]string{}, pictures: map[string]bool{}}
	var shared, encoding []byte
	for i, b := range o.list {
		number := strconv.Itoa(b.number)
		if _, twice := w.places[number]; twice {
			return nil, errForeign
		}
		w.places[number] = i
		if entry := sharedEntry.FindSubmatch(b.dictionary); entry != nil {
			if w.resources != "" {
				return nil, errForeign
			}
			w.resources, shared = number, entry[1]
		}
		if encoding, err = encodingOf(b.dictionary, encoding); err != nil {
			return nil, err
		}
	}
	if err = w.readCodes(encoding); err == nil {
		err = w.readForms(shared)
	}
	return w, err
}

// encodingOf is what fonts say of their texts; all say the same.
func encodingOf(dictionary, before []byte) ([]byte, error) {
	kind := fontKind.FindSubmatch(dictionary)
	if kind == nil || string(kind[1]) == "CIDFontType2" {
		return before, nil
	}
	own := encodingEntry.FindSubmatch(dictionary)
	if string(kind[1]) != "Type0" || own == nil || bytes.Count(dictionary, []byte("/Encoding")) != 1 || before != nil && !bytes.Equal(own[1], before) {
		return nil, errForeign
	}
	return own[1], nil
}

// readCodes reads the codes of the texts.
func (w *words) readCodes(encoding []byte) error {
	number, coded := bytes.CutSuffix(encoding, []byte(" 0 R"))
	if !coded {
		return nil
	}
	at, known := w.places[string(number)]
	if !known {
		return errForeign
	}
	stream, err := w.unpacked(&w.list[at])
	if err != nil {
		return err
	}
	if w.codes, known = codesOf(stream); !known {
		return errForeign
	}
	return nil
}

// readForms reads what the forms say, which hold no others.
func (w *words) readForms(entries []byte) error {
	said := map[string][]string{}
	for _, entry := range sharedName.FindAllSubmatch(entries, -1) {
		name := string(entry[1])
		at, known := w.places[string(entry[2])]
		if _, twice := said[name]; twice || !known || w.pictures[name] {
			return errForeign
		}
		b := &w.list[at]
		if bytes.HasPrefix(b.dictionary, []byte("<</Type /XObject\n/Subtype /Image\n")) {
			w.pictures[name] = true
			continue
		}
		texts, err := w.formTexts(b)
		if err != nil {
			return err
		}
		said[name] = texts
	}
	w.forms = said
	return nil
}

func (w *words) formTexts(b *body) ([]string, error) {
	form := formEntries.FindSubmatch(b.dictionary)
	if form == nil || len(form[1]) > 0 && string(form[1]) != w.resources {
		return nil, errForeign
	}
	stream := b.data
	if len(form[2]) > 0 {
		var err error
		if stream, err = w.unpacked(b); err != nil {
			return nil, err
		}
	}
	texts, ours := w.textsOf(stream)
	if !ours {
		return nil, errForeign
	}
	return texts, nil
}

// unusual are operators by which a page could show other words than those that are read here: no report holds them
// (ISO 32000-1, 9.3.6 and 9.4.3).
var unusual = []string{"TJ", "Tr", "BI"}

// quote reports whether an operand is one of the two operators of texts that are not letters.
func quote(operand []byte) bool { return operand[0] == '\'' || operand[0] == '"' }

// textsOf are the strings that a content shows, each as it was set; ours is false where it could show others.
func (w *words) textsOf(stream []byte) (texts []string, ours bool) {
	for {
		o, rest, ok := nextOperation(stream)
		if !ok || slices.Contains(unusual, o.operator) || slices.ContainsFunc(o.operands, quote) {
			return nil, false
		}
		n := len(o.operands)
		switch {
		case o.operator == "":
			return texts, true
		case o.operator == "Tj" && n > 0 && o.operands[n-1][0] == '(':
			texts = append(texts, w.codes.decoded(o.operands[n-1][1:]))
		case o.operator == "Do":
			if n != 1 {
				return nil, false
			}
			form, known := w.forms[string(o.operands[0])]
			if !known && !w.pictures[string(o.operands[0])] {
				return nil, false
			}
			texts = append(texts, form...)
		}
		stream = rest
	}
}
