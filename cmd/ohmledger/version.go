package main

import (
	"runtime/debug"

	"ohmledger/report"
)

// version of the program, and model of the circuit and the judgement, which changes when numbers may.
const (
	version = "0.1.0"
	model   = "1"
)

func tool() report.Tool {
	return report.Tool{Name: "ohmledger", Version: version, Model: model, Build: build()}
}

// build is the revision of the source, as far as the compiler recorded it.
func build() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return ""
	}
	revision, changed := "", ""
	for _, s := range info.Settings {
		switch {
		case s.Key == "vcs.revision":
			revision = s.Value
		case s.Key == "vcs.modified" && s.Value == "true":
			changed = " with changes"
		}
	}
	if revision == "" {
		return ""
	}
	return revision + changed
}

type versionCommand struct{}

func (versionCommand) Run(c *console) error {
	t := tool()
	if t.Build == "" {
		t.Build = "of unrecorded source"
	}
	c.say("ohmledger %s, model %s, build %s", t.Version, t.Model, t.Build)
	return nil
}
