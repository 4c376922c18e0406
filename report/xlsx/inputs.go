package xlsx

import (
	"slices"
	"strconv"

	"ohmledger/health/job"
	"ohmledger/report"
)

// settings lists what was in force, and what made the report.
func (b *book) settings() error {
	c := newColumns[report.Setting]()
	c.words("key", b.say("column.key"), 58, func(s report.Setting) string { return s.Key })
	c.add("value", b.say("column.setting"), 40, func(s report.Setting, _ int) cell {
		switch v := s.Value.(type) {
		case string:
			return cell{value: text(v), look: look{wrap: true}}
		case bool: // as job.yaml has it, in every language
			return cell{value: strconv.FormatBool(v)}
		}
		return cell{value: s.Value}
	})
	c.words("default", b.say("column.default"), middling, func(s report.Setting) string {
		if s.Default {
			return b.say("default")
		}
		return ""
	})
	s := b.newSheet("settings", widths(c), firstRow)
	s.top("settings")
	table(s, "settings", firstRow, c, slices.Values(append(b.provenance(), report.Settings(b.doc.Assessment.Job)...)))
	return s.end()
}

// provenance is what made the report, which one it replaces, and what it warns of as a whole, under the names of results.json.
func (b *book) provenance() []report.Setting {
	t, r := b.doc.Tool, b.doc.Assessment.Job.Report
	list := []report.Setting{
		{Key: "tool.name", Value: t.Name}, {Key: "tool.version", Value: t.Version}, {Key: "tool.model", Value: t.Model}, {Key: "tool.build", Value: t.Build},
		{Key: "results.json", Value: "SHA-256 " + b.digest},
		{Key: "report.number", Value: r.Number}, {Key: "report.amends", Value: r.Amends},
	}
	for i, d := range b.doc.Assessment.Doubts {
		list = append(list, report.Setting{Key: "doubts[" + number(i+1) + "]", Value: d.Text})
	}
	for i, key := range b.doc.Blank {
		list = append(list, report.Setting{Key: "blank[" + number(i+1) + "]", Value: key})
	}
	return list
}

// inputs lists every file that was read, with its digest.
func (b *book) inputs() error {
	c := newColumns[job.Source]()
	c.words("file", b.say("column.file"), 48, func(s job.Source) string { return s.File })
	c.words("sha256", b.say("column.sha256"), 68, func(s job.Source) string { return s.SHA256 })
	c.add("bytes", b.say("column.bytes"), middling, func(s job.Source, _ int) cell {
		if s.Bytes == 0 {
			return cell{}
		}
		return cell{value: s.Bytes}
	})
	s := b.newSheet("inputs", widths(c), firstRow)
	s.top("inputs")
	table(s, "inputs", firstRow, c, slices.Values(b.doc.Inputs))
	return s.end()
}
