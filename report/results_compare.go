package report

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
)

// CompareResults holds one results.json against another, number by number. Items of a list go by their name where they
// have one, by their place else. What made them, under tool, is left out. An error says which of the two is no such file.
func CompareResults(found, expected []byte) (*Differences, error) {
	f, err := splitResults(found)
	if err != nil {
		return nil, fmt.Errorf("the file is no results of ohmledger: %w", err)
	}
	e, err := splitResults(expected)
	if err != nil {
		return nil, fmt.Errorf("the results held against it are none: %w", err)
	}
	d := &Differences{}
	d.holdLeaves(f.rest, e.rest)
	for _, name := range union(f.names, e.names) {
		if a, b := f.cells[name], e.cells[name]; !bytes.Equal(a, b) {
			d.holdLeaves(leavesOf("cells["+name+"]", a, 0), leavesOf("cells["+name+"]", b, 0))
		}
	}
	return d, nil
}

// split is a results.json in parts: each cell by itself, so that a large lot need not be taken apart all at once.
type split struct {
	rest  []leaf
	names []string // of the cells, in their order
	cells map[string]json.RawMessage
}

func splitResults(text []byte) (*split, error) {
	s := &split{cells: map[string]json.RawMessage{}}
	d := json.NewDecoder(bytes.NewReader(text))
	d.UseNumber()
	if token, err := d.Token(); err != nil || token != json.Delim('{') {
		return nil, errors.Join(err, errors.New("a { is needed at the beginning"))
	}
	for d.More() {
		if err := s.member(d); err != nil {
			return nil, err
		}
	}
	_, err := d.Token()
	if err == nil {
		if _, after := d.Token(); after != io.EOF {
			err = errors.New("something stands behind the end")
		}
	}
	return s, err
}

func (s *split) member(d *json.Decoder) error {
	name, err := d.Token()
	if err != nil {
		return err
	}
	var value json.RawMessage
	if err := d.Decode(&value); err != nil {
		return err
	}
	switch name {
	case "tool":
	case "cells":
		return s.cellsOf(value)
	default:
		s.rest = append(s.rest, leavesOf(fmt.Sprint(name), value, 0)...)
	}
	return nil
}

func (s *split) cellsOf(text json.RawMessage) error {
	var list []json.RawMessage
	if err := json.Unmarshal(text, &list); err != nil {
		return err
	}
	taken := map[string]bool{}
	for i, cell := range list {
		name := distinctName(cell, i, taken)
		s.names, s.cells[name] = append(s.names, name), cell
	}
	return nil
}

// distinctName is the name of an item, with its place where another has the same.
func distinctName(item json.RawMessage, i int, taken map[string]bool) string {
	name := nameOf(item, i)
	if taken[name] {
		name = fmt.Sprintf("%s, %d", name, i+1)
	}
	taken[name] = true
	return name
}

// nameOf is the name of an item: its first member where that is a text, else its place in the list.
func nameOf(item json.RawMessage, i int) string {
	d := json.NewDecoder(bytes.NewReader(item))
	if bracket, err := d.Token(); err == nil && bracket == json.Delim('{') {
		_, _ = d.Token() // the member's name
		if name, err := d.Token(); err == nil {
			if text, ok := name.(string); ok {
				return text
			}
		}
	}
	return fmt.Sprint(i + 1)
}

// leaf is a value that holds no others.
type leaf struct {
	path, value string
	text        bool // that may look like a number, and is none
}

// deepest is how far values lie within one another; results have less than ten levels. What lies deeper is taken as a whole.
const deepest = 16

// leavesOf lists the values in a sound JSON text, in its order. Texts stand without quotes, null as null.
func leavesOf(path string, text json.RawMessage, depth int) []leaf {
	depth++
	switch trimmed := bytes.TrimSpace(text); {
	case len(trimmed) == 0:
		return nil
	case trimmed[0] == '{' && depth < deepest:
		return membersOf(path, trimmed, depth)
	case trimmed[0] == '[' && depth < deepest:
		return itemsOf(path, trimmed, depth)
	case trimmed[0] == '"':
		var words string
		_ = json.Unmarshal(trimmed, &words)
		return []leaf{{path, words, true}}
	default:
		return []leaf{{path, string(trimmed), false}}
	}
}

func membersOf(path string, text json.RawMessage, depth int) (list []leaf) {
	d := json.NewDecoder(bytes.NewReader(text))
	_, _ = d.Token()
	for d.More() {
		name, _ := d.Token()
		var value json.RawMessage
		if d.Decode(&value) != nil {
			return list
		}
		list = append(list, leavesOf(joined(path, fmt.Sprint(name)), value, depth)...)
	}
	return list
}

func itemsOf(path string, text json.RawMessage, depth int) (list []leaf) {
	var items []json.RawMessage
	_ = json.Unmarshal(text, &items)
	taken := map[string]bool{}
	for i, item := range items {
		list = append(list, leavesOf(path+"["+distinctName(item, i, taken)+"]", item, depth)...)
	}
	return list
}

// holdLeaves compares values under equal paths; a path that stands twice is compared in order.
func (d *Differences) holdLeaves(found, expected []leaf) {
	values := map[string][]leaf{}
	for _, l := range expected {
		values[l.path] = append(values[l.path], l)
	}
	for _, l := range found {
		rest := values[l.path]
		if len(rest) == 0 {
			d.Add(l.path, l.value, "")
			continue
		}
		d.holdLeaf(l, rest[0])
		values[l.path] = rest[1:]
	}
	for _, l := range expected {
		for _, missing := range values[l.path] {
			d.Add(l.path, "", missing.value)
		}
		values[l.path] = nil
	}
}

func (d *Differences) holdLeaf(found, expected leaf) {
	switch {
	case found.text == expected.text && !found.text:
		d.Hold(found.path, found.value, expected.value)
	case found.text != expected.text || found.value != expected.value:
		d.Add(found.path, found.value, expected.value)
	}
}

// union is both lists in order, each name once.
func union(a, b []string) []string {
	known := map[string]bool{}
	var all []string
	for _, name := range append(append([]string{}, a...), b...) {
		if !known[name] {
			known[name] = true
			all = append(all, name)
		}
	}
	return all
}
