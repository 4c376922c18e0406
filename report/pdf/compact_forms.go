package pdf

import (
	"cmp"
	"slices"
)

// form is a run of items that is drawn in several places (ISO 32000-1:2008, 8.10): the first at the origin.
type form struct {
	name  string
	items []placed
}

// plan is how the pages of a document are written.
type plan struct {
	codes   *codes
	names   map[string]string // of fonts
	colours *colours          // nil: they are told by their amounts
	forms   []form
	byFirst map[thing][]*form // the longest first
}

// pagesOfPlan are looked through for what they share; others of a larger document use what was found there.
const pagesOfPlan = 48

// newPlan looks for runs that pages share.
func newPlan(c *codes, pages [][]placed) *plan {
	p := &plan{codes: c, byFirst: map[thing][]*form{}}
	for _, items := range repeatedRuns(pages) {
		p.forms = append(p.forms, form{formName(len(p.forms)), relative(items)})
	}
	for i := range p.forms {
		first := p.forms[i].items[0].thing
		p.byFirst[first] = append(p.byFirst[first], &p.forms[i])
	}
	for _, list := range p.byFirst {
		slices.SortStableFunc(list, func(a, b *form) int { return cmp.Compare(len(b.items), len(a.items)) })
	}
	return p
}

// formName is a, b … z, ba, bb …: names of pictures begin with a capital.
func formName(n int) string {
	if n < 26 {
		return string(rune('a' + n))
	}
	return formName(n/26) + formName(n%26)
}

// relative are items as seen from the first.
func relative(items []placed) []placed {
	list := slices.Clone(items)
	for i := range list {
		list[i].at = minus(items[i].at, items[0].at)
	}
	return list
}

func minus(a, b [2]int) [2]int { return [2]int{a[0] - b[0], a[1] - b[1]} }

// formAt is the longest form that items begin with, nil for none.
func (p *plan) formAt(items []placed) *form {
	for _, f := range p.byFirst[items[0].thing] {
		if f.begins(items) {
			return f
		}
	}
	return nil
}

func (f *form) begins(items []placed) bool {
	if len(items) < len(f.items) {
		return false
	}
	for i := range f.items {
		if items[i].thing != f.items[i].thing || minus(items[i].at, items[0].at) != f.items[i].at {
			return false
		}
	}
	return true
}
