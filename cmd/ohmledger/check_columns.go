package main

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"ohmledger/fit/spectrum"
)

// columnKeys are what --columns may name, as in job.yaml.
var columnKeys = []string{"frequency", "real", "imaginary", "magnitude", "phase", "unit", "imaginary_sign"}

// columnsOf is the mapping that --columns states.
func columnsOf(stated map[string]string) (columns spectrum.Columns, err error) {
	fields := map[string]*string{
		"frequency": &columns.Frequency, "real": &columns.Real, "imaginary": &columns.Imaginary, "magnitude": &columns.Magnitude,
		"phase": &columns.Phase, "unit": &columns.Unit, "imaginary_sign": &columns.ImaginarySign,
	}
	var unknown []string
	for key, text := range stated {
		if fields[key] == nil {
			unknown = append(unknown, key)
			continue
		}
		*fields[key] = text
	}
	if len(unknown) == 0 {
		return columns, nil
	}
	slices.Sort(unknown)
	message := fmt.Sprintf("--columns knows no %q; allowed: %s", unknown[0], strings.Join(columnKeys, ", "))
	if nearest := spectrum.Nearest(unknown[0], columnKeys); nearest != "" {
		message += fmt.Sprintf("; did you mean %s?", nearest)
	}
	return columns, refuse("%s", message)
}

// onCommandLine puts what the command line needs beside what job.yaml would.
func onCommandLine(err error) error {
	var faults spectrum.Errors
	if !errors.As(err, &faults) {
		return err
	}
	told := make(spectrum.Errors, len(faults))
	for i, fault := range faults {
		own := *fault
		own.Message = asFlag.Replace(own.Message)
		if flags := columnFlags(fault.Remedy); flags != "" {
			own.Remedy = "add to the command:  " + flags + "\n    or in a job, where " + fault.Remedy
		} else {
			own.Remedy = asFlag.Replace(own.Remedy)
		}
		told[i] = &own
	}
	return told
}

// asFlag names the flag where a message names its place in a job.
var asFlag = strings.NewReplacer("job.yaml's columns", "--columns", "job.yaml", "--columns")

// columnEntry is one entry of the line that job.yaml needs, as spectrum.Columns writes it.
var columnEntry = regexp.MustCompile(`(\w+): ("(?:[^"\\]|\\.)*"|[^,}]+)`)

// columnFlags turns the line that job.yaml needs into flags; empty where it is no such line.
func columnFlags(remedy string) string {
	_, line, found := strings.Cut(remedy, "columns: {")
	if !found {
		return ""
	}
	end := strings.LastIndex(line, "}")
	if end < 0 {
		return ""
	}
	line, comment := line[:end], line[end+1:]
	comment, _, _ = strings.Cut(comment, "\n")
	var flags []string
	for _, entry := range columnEntry.FindAllStringSubmatch(line, -1) {
		text := entry[2]
		if plain, err := strconv.Unquote(text); err == nil {
			text = plain
		}
		flags = append(flags, "--columns "+quoted(entry[1]+"="+text))
	}
	return strings.Join(flags, " ") + comment
}
