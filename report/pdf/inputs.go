package pdf

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strconv"

	"ohmledger/health/job"
)

// mostInputs is how many input files are listed, most of a page; the digest of the whole list stands for the others.
const mostInputs = 60

// inputs is the table of the files that the report rests on.
func (c *composition) inputs() {
	listed := c.doc.Inputs
	if len(listed) > mostInputs {
		listed = c.ownInputs()
	}
	t := table{tight: true, columns: []column{
		{head: c.label("file"), stretch: 1}, {head: c.label("bytes"), setting: rightward}, {head: c.label("sha256")},
	}}
	digest := c.sheet.table
	digest.size, digest.pitch = digestSize, digestPitch
	for _, s := range listed {
		size := ""
		if s.Bytes > 0 {
			size = strconv.Itoa(s.Bytes)
		}
		t.records = append(t.records, []entry{{text: c.literally(s.File), style: &digest}, {text: size, style: &digest}, {text: s.SHA256, style: &digest}})
	}
	c.subheading("inputs")
	c.paragraph(c.say("inputs", struct {
		Files, Listed int
		Digest        string
	}{len(c.doc.Inputs), len(listed), listDigest(c.doc.Inputs)}), c.sheet.note)
	c.space(module / 2)
	c.addTable(t.omit(""))
}

// digestSize is the size of the digests, in points: 64 characters beside a file's name.
const (
	digestSize  = 6.2
	digestPitch = 2.9 // mm
)

// ownInputs are the files that are no spectra.
func (c *composition) ownInputs() []job.Source {
	spectra := map[string]bool{}
	for _, cell := range c.doc.Assessment.Cells.All() {
		for _, m := range cell.Measurements {
			spectra[m.Row.File] = true
		}
	}
	var own []job.Source
	for _, s := range c.doc.Inputs {
		if !spectra[s.File] && len(own) < mostInputs {
			own = append(own, s)
		}
	}
	return own
}

// listDigest is the SHA-256 of all digests with their files, in the form that sha256sum prints.
func listDigest(list []job.Source) string {
	sum := sha256.New()
	for _, s := range list {
		fmt.Fprintf(sum, "%s  %s\n", s.SHA256, s.File)
	}
	return hex.EncodeToString(sum.Sum(nil))
}
