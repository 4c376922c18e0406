package report

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"

	"ohmledger/health/job"
)

// Setting is one key of job.yaml as it is in force.
type Setting struct {
	Key     string // "conditions.reference_temperature_c"
	Value   any    // string, float64 or bool; nil where blank
	Default bool   // whether the job leaves it blank and a default fills it
}

// Settings lists everything in force after defaults are filled in, in the order of job.yaml.
func Settings(j *job.Job) []Setting {
	var b bytes.Buffer
	buffered := bufio.NewWriter(&b)
	out := &layout{w: buffered, first: true}
	out.open("{")
	writeSettings(out, j)
	out.close("}")
	_ = buffered.Flush() // a bytes.Buffer takes everything
	f := flattener{defaulted: j.Defaulted}
	f.decoder = json.NewDecoder(&b)
	if err := f.value(""); err != nil && err != io.EOF {
		panic(fmt.Sprintf("report: settings: %v", err))
	}
	return f.list
}

// flattener lists the leaves of a JSON text in its order, which decoding into a map would lose.
type flattener struct {
	decoder   *json.Decoder
	defaulted []string
	list      []Setting
}

func (f *flattener) value(path string) error {
	token, err := f.decoder.Token()
	if err != nil {
		return err
	}
	switch token {
	case json.Delim('{'):
		return f.members(path)
	case json.Delim('['):
		return f.items(path)
	}
	f.leaf(path, token)
	return nil
}

func (f *flattener) members(path string) error {
	for f.decoder.More() {
		key, err := f.decoder.Token()
		if err != nil {
			return err
		}
		if err := f.value(joined(path, key.(string))); err != nil {
			return err
		}
	}
	_, err := f.decoder.Token()
	return err
}

func (f *flattener) items(path string) error {
	for i := 1; f.decoder.More(); i++ {
		if err := f.value(fmt.Sprintf("%s[%d]", path, i)); err != nil {
			return err
		}
	}
	_, err := f.decoder.Token()
	return err
}

// leaf keeps a value; the list of defaults shows at the keys that it names instead of by itself.
func (f *flattener) leaf(path string, value any) {
	key := strings.TrimPrefix(path, "settings.")
	if strings.HasPrefix(key, "defaulted[") {
		return
	}
	byDefault := slices.ContainsFunc(f.defaulted, func(d string) bool {
		rest, ok := strings.CutPrefix(key, d)
		return ok && (rest == "" || rest[0] == '.' || rest[0] == '[')
	})
	f.list = append(f.list, Setting{key, value, byDefault})
}

func joined(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}
