package job

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"ohmledger/fit/spectrum"
)

// spot is a key of job.yaml with the text that leads to its value.
type spot struct {
	path, before, after string
	schema              *schema
}

// spots are all keys of the table, groups included, each within one line of job.yaml.
func spots(s *schema, at spot) []spot {
	var found []spot
	for _, name := range s.order {
		below := s.Properties[name]
		k := spot{strings.TrimPrefix(at.path+"."+name, "."), at.before + "{" + name + ": ", "}" + at.after, below}
		found = append(found, k)
		if below.Items != nil && below.Items.order != nil {
			below, k.before, k.after = below.Items, k.before+"[", "]"+k.after
		}
		found = append(found, spots(below, k)...)
	}
	return found
}

// wrong are values of other types than a key takes.
func (k spot) wrong() []string {
	switch s := k.schema; {
	case s.Enum != nil:
		return []string{"warm", "{a: 1}", "[a, b]", "12345"}
	case slices.Contains(s.Type, "object"):
		return []string{"word", "7", "[a, b]"}
	case slices.Contains(s.Type, "array"):
		return []string{"word", "7", "{a: 1}"}
	case slices.Contains(s.Type, "string") && s.Pattern == "": // any one value is a text, but neither list nor group
		return []string{"{a: 1}", "[a, b]"}
	default:
		return []string{"word", "{a: 1}", "[a, b]", "-1e9", "1e400", `"7"`, "25 °C", "true?", ".nan", "0x1F", "1_0", "٣"}
	}
}

// Every key refuses every value of another type, at the value's own place and under its own name.
func TestEveryKeyRefusesWrongTypes(t *testing.T) {
	all := spots(jobKeys.schema(), spot{})
	if len(all) < 80 {
		t.Fatalf("only %d keys found", len(all))
	}
	for _, k := range all {
		for _, value := range k.wrong() {
			text := k.before + value + k.after
			_, err := Read(jobWith(t, text))
			var faults spectrum.Errors
			if !errors.As(err, &faults) {
				t.Errorf("%s takes %s", k.path, value)
				continue
			}
			column := len([]rune(k.before)) + 1
			if !slices.ContainsFunc(faults, func(e *spectrum.Error) bool {
				return e.Line == 1 && e.Column >= column && e.Column <= column+len(value) && strings.HasPrefix(e.Message, k.path+": ")
			}) {
				t.Errorf("%s: no fault at column %d of %s in\n%v", k.path, column, text, err)
			}
		}
	}
}

// Every key may be blank: alone in job.yaml it is as if it were absent, but for what is needed beside it.
func TestEveryKeyMayBeBlank(t *testing.T) {
	for _, k := range spots(jobKeys.schema(), spot{}) {
		for _, value := range []string{"", "~", "null", `""`} {
			_, err := Read(jobWith(t, k.before+value+k.after))
			if err != nil && !strings.Contains(err.Error(), "item of the list is blank") {
				t.Errorf("%s: %s: %v", k.path, value, err)
			}
		}
	}
}

// Every key with one letter changed is unknown, and the right key is offered.
func TestEveryKeyIsOfferedWhenMisspelt(t *testing.T) {
	for _, k := range spots(jobKeys.schema(), spot{}) {
		name := k.path[strings.LastIndex(k.path, ".")+1:]
		if len(name) < 4 {
			continue // too short for a suggestion to be certain
		}
		text := strings.TrimSuffix(k.before, name+": ") + name[:2] + "q" + name[2:] + ": 1" + k.after
		_, err := Read(jobWith(t, text))
		if err == nil || !strings.Contains(err.Error(), "did you mean "+name+"?") {
			t.Errorf("%s: %v", text, err)
		}
	}
}

// The limit's bounds are those of its quantity: what the table lists is read, and nothing else.
func TestEveryQuantityTakesALimit(t *testing.T) {
	for _, q := range Quantities {
		j, err := Read(jobWith(t, fmt.Sprintf("limits: [{quantity: %s, max: 0.9, min: 0.5}]", q)))
		if err != nil {
			t.Errorf("%s: %v", q, err)
			continue
		}
		if want := []Limit{{q, Max, 0.9}, {q, Min, 0.5}}; !slices.Equal(j.Limits, want) {
			t.Errorf("limits are %v, want %v", j.Limits, want)
		}
		if _, known := bounds[q]; !known {
			t.Errorf("no bounds for %s", q)
		}
	}
}
