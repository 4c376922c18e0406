package job

import (
	"regexp"
	"slices"
	"strings"
)

// names refuses the keys that the table does not know, at every depth.
func (r *reading) names(at place, s *schema) {
	switch {
	case at.shape == group && s.Properties != nil:
		for _, e := range at.entries {
			if property, known := s.Properties[e.name.text]; known {
				r.names(at.below(e.name.text), property)
				continue
			}
			r.unknown(at, e.name, s)
		}
	case at.shape == list && s.Items != nil:
		for _, item := range at.items {
			r.names(place{at.path, item}, s.Items)
		}
	}
}

var digits = regexp.MustCompile(`^\d+$`)

// unknown refuses one key, with the word that was most likely meant.
func (r *reading) unknown(at place, name *node, s *schema) {
	remedy := didYouMean(name.text, s.order)
	top := jobKeys.schema()
	switch elsewhere := top.homes(name.text); {
	case digits.MatchString(name.text):
		r.fault(name, "write a decimal number with a point, e.g. 1.5", "%s is no key; a comma within { } begins a new key", quote(name.text))
		return
	case at.path != "" && slices.Contains(top.order, name.text):
		remedy = "begin the line with it, without blanks before it"
	case len(elsewhere) > 0:
		remedy = "indent it under " + alternatives(elsewhere)
	case remedy == "" && at.besides(name):
		remedy = "put quotes round a text that holds a comma; within { } a comma begins a new key"
	}
	group := at.path
	if group == "" {
		group = jobFile
	}
	r.fault(name, remedy, "%s is no key of %s; allowed: %s", quote(name.text), group, alternatives(s.order))
}

// besides says whether a key stands on one line with another one of its group, as only within { }.
func (p place) besides(name *node) bool {
	return slices.ContainsFunc(p.entries, func(e entry) bool { return e.name != name && e.name.line == name.line })
}

// homes are the groups that have a key of this name.
func (s *schema) homes(name string) []string {
	var found []string
	for _, key := range s.order {
		below := s.Properties[key]
		if below.Items != nil {
			below = below.Items
		}
		if slices.Contains(below.order, name) {
			found = append(found, key)
		}
		for _, deeper := range below.homes(name) {
			found = append(found, strings.Join([]string{key, deeper}, "."))
		}
	}
	return found
}
