//go:build linux || darwin

package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
)

// spoiling is a way to spoil a sound job.
type spoiling struct {
	name  string
	steps []step
}

// step changes a job folder.
type step func(bench string) error

// readSpoilings reads testdata/malformed/cases.txt; its head says how it is written.
func readSpoilings(t *testing.T) (list []spoiling) {
	t.Helper()
	r := &spoilings{}
	for i, line := range strings.Split(string(must(os.ReadFile(malformed+"cases.txt"))), "\n") {
		if err := r.line(line); err != nil {
			t.Fatalf("cases.txt:%d: %v", i+1, err)
		}
	}
	r.flush()
	return r.list
}

// spoilings are read line by line.
type spoilings struct {
	list     []spoiling
	file     string
	old, new []string // lines of a replacement
	content  []string // lines of a whole file
	changed  bool     // whether new has begun
}

func (r *spoilings) line(line string) error {
	sign, rest, _ := strings.Cut(line, " ")
	if sign != "=" && r.content != nil || sign != "-" && sign != "+" && r.old != nil || sign == "-" && r.changed {
		r.flush()
	}
	switch sign {
	case "", "#":
	case "==":
		r.list, r.file = append(r.list, spoiling{name: rest}), "job.yaml"
	case "@":
		r.file = rest
	case "-":
		r.old = append(r.old, rest)
	case "+":
		r.new, r.changed = append(r.new, rest), true
	case "=":
		r.content = append(r.content, rest)
	case "~":
		text, err := strconv.Unquote(rest)
		r.add(inPlace(r.file, text))
		return err
	default:
		make, known := verbs[sign]
		if !known {
			return fmt.Errorf("%q begins no line", sign)
		}
		r.add(make(strings.Fields(rest)))
	}
	return nil
}

func (r *spoilings) add(s step) {
	last := &r.list[len(r.list)-1]
	last.steps = append(last.steps, s)
}

// flush ends a replacement or a file.
func (r *spoilings) flush() {
	if r.content != nil {
		r.add(inPlace(r.file, strings.Join(r.content, "\n")+"\n"))
	}
	if r.old != nil {
		r.add(replaced(r.file, strings.Join(r.old, "\n"), strings.Join(r.new, "\n")))
	}
	r.old, r.new, r.content, r.changed = nil, nil, nil, false
}

func inPlace(file, text string) step {
	return func(bench string) error {
		name := filepath.Join(bench, file)
		return errors.Join(os.MkdirAll(filepath.Dir(name), 0o777), os.WriteFile(name, []byte(text), 0o666))
	}
}

func replaced(file, old, new string) step {
	return func(bench string) error {
		text, err := os.ReadFile(filepath.Join(bench, file))
		if err != nil {
			return err
		}
		if !strings.Contains(string(text), old) {
			return fmt.Errorf("%s does not hold %q", file, old)
		}
		return inPlace(file, strings.Replace(string(text), old, new, 1))(bench)
	}
}

// verbs are the lines that begin with a word.
var verbs = map[string]func(args []string) step{
	"rm": func(args []string) step {
		return func(bench string) error { return os.RemoveAll(filepath.Join(bench, args[0])) }
	},
	"mkdir": func(args []string) step {
		return func(bench string) error { return os.Mkdir(filepath.Join(bench, args[0]), 0o777) }
	},
	"fifo": func(args []string) step {
		return func(bench string) error { return syscall.Mkfifo(filepath.Join(bench, args[0]), 0o666) }
	},
	"link": func(args []string) step {
		return func(bench string) error { return os.Symlink(args[1], filepath.Join(bench, args[0])) }
	},
	"copy": func(args []string) step {
		return func(bench string) error {
			data, err := os.ReadFile(filepath.Join(bench, args[1]))
			return errors.Join(err, os.WriteFile(filepath.Join(bench, args[0]), data, 0o666))
		}
	},
}
