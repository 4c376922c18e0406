package pdf

import (
	"bytes"
	"context"
	"fmt"
	"regexp"
	"slices"
	"sync"

	"ohmledger/health/parallel"
)

// planOf reads the contents of all pages and plans how they are written anew; nil where one of them is not as fpdf writes it.
// The items of the first pages stay with their objects.
func planOf(objects []object, names map[string]string) (*plan, error) {
	s := &survey{names: names, characters: make([]bool, 1<<16), colours: map[string]int{}, ok: true}
	var contents []int
	for i := range objects {
		if objects[i].content {
			contents = append(contents, i)
		}
	}
	first := contents[:min(len(contents), pagesOfPlan)]
	if err := parallel.Tried(context.Background(), contents, func(_ context.Context, i int) error {
		return s.read(&objects[i], slices.Contains(first, i))
	}); err != nil {
		return nil, err
	}
	c, ok := newCodes(s.characters)
	if !s.ok || !ok {
		return nil, nil
	}
	var pages [][]placed
	for _, i := range first {
		pages = append(pages, objects[i].items)
	}
	p := newPlan(c, pages)
	p.names, p.colours = names, newColours(s.colours)
	return p, nil
}

// survey is what the pages of a document have in common.
type survey struct {
	names      map[string]string
	guard      sync.Mutex
	characters []bool         // that occur
	colours    map[string]int // how often things have them
	ok         bool           // all pages are as fpdf writes them
}

func (s *survey) read(o *object, keep bool) error {
	plain, err := o.inflated()
	if err != nil {
		return err
	}
	items, ok := itemsOf(plain, s.names)
	if keep {
		o.items = items
	}
	s.guard.Lock()
	defer s.guard.Unlock()
	s.ok = s.ok && ok
	for _, it := range items {
		s.note(it)
	}
	return nil
}

// note notes the characters and colours of an item.
func (s *survey) note(it placed) {
	for _, told := range it.look[:widthSlot] {
		if told != "" && it.kind != asItIs {
			s.colours[amountsOf(told)]++
		}
	}
	if it.kind == ofText {
		for _, u := range unitsOf([]byte(it.body[1:])) {
			s.characters[u] = true
		}
	}
	if it.kind != asItIs {
		return
	}
	for rest := []byte(it.body); ; {
		o, after, ok := nextOperation(rest)
		if !ok || o.operator == "" {
			return
		}
		for _, v := range o.operands {
			if v[0] == '(' {
				s.note(placed{thing: thing{kind: ofText, body: string(v)}})
			}
		}
		rest = after
	}
}

// follow gives a document what a plan asks for: the fonts their names and codes, and the forms.
func (p *plan) follow(objects []object) ([]object, error) {
	next := len(objects) + 1
	encoding, unicode := next, next+1
	dictionary := fmt.Appendf(nil, "<</Type/CMap/CMapName/%s/CIDSystemInfo<<%s>> /Length 0>>", mapName, systemInfo)
	objects = append(objects, object{number: encoding, stream: true, dictionary: dictionary, data: p.codes.characterMap(false)},
		object{number: unicode, stream: true, dictionary: []byte("<</Length 0>>"), data: p.codes.characterMap(true)})
	objects = append(objects, object{number: unicode + 1, dictionary: []byte(boundsOfForms)})
	var entries []byte
	for i := range p.forms {
		o, err := p.object(&p.forms[i], len(objects)+1, unicode+1)
		if err != nil {
			return nil, err
		}
		entries = fmt.Appendf(entries, "/%s %d 0 R\n", p.forms[i].name, o.number)
		objects = append(objects, o)
	}
	for i := range objects {
		if o := &objects[i]; !o.stream {
			o.dictionary = p.renamed(o.dictionary)
			o.dictionary = bytes.Replace(o.dictionary, xobjects, append(bytes.Clone(xobjects), entries...), 1)
			o.dictionary = bytes.Replace(o.dictionary, colourSpaces, append(bytes.Clone(colourSpaces), p.colours.entry()...), 1)
			p.encode(o, objects, encoding, unicode)
		}
	}
	return objects, nil
}

var (
	xobjects     = []byte("/XObject <<\n")
	colourSpaces = []byte("/ColorSpace <<\n")
	codedBefore  = []byte("/Encoding /Identity-H\n")
	unicodeMap   = regexp.MustCompile(`/ToUnicode (\d+) 0 R`)
)

// encode makes a font know the codes; its own map to characters goes.
func (p *plan) encode(font *object, objects []object, encoding, unicode int) {
	own := unicodeMap.FindSubmatch(font.dictionary)
	if own == nil {
		return
	}
	if n, ok := numberOf(own[1], len(objects)); ok {
		objects[n-1] = object{number: n, dictionary: []byte("null")}
	}
	font.dictionary = bytes.Replace(font.dictionary, codedBefore, fmt.Appendf(nil, "/Encoding %d 0 R\n", encoding), 1)
	font.dictionary = unicodeMap.ReplaceAll(font.dictionary, fmt.Appendf(nil, "/ToUnicode %d 0 R", unicode))
}

// boundsOfForms: what lies within a page's size of a form's origin is shown.
const boundsOfForms = "[-8419 -8419 8419 8419]"

// object is a form as an object of the document.
func (p *plan) object(f *form, number, bounds int) (object, error) {
	plain := p.formOf(f.items)
	entries := fmt.Sprintf("/Subtype/Form/BBox %d 0 R", bounds)
	for _, it := range f.items {
		if it.kind != ofPath {
			entries += "/Resources 2 0 R"
			break
		}
	}
	small, err := deflated(plain)
	if err != nil {
		return object{}, err
	}
	if filter := "/Filter/FlateDecode"; len(small)+len(filter) < len(plain) {
		entries, plain = entries+filter, small
	}
	return object{number: number, stream: true, final: true, data: plain, dictionary: fmt.Appendf(nil, "<<%s/Length %d>>", entries, len(plain))}, nil
}
