package pdf

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"ohmledger/health/job"
)

// mostInputs is how many input files are listed; the digest of the whole list stands for the others.
const mostInputs = 200

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
	own := slices.DeleteFunc(slices.Clone(c.doc.Inputs), func(s job.Source) bool { return spectra[s.File] })
	return own[:min(len(own), mostInputs)]
}

// listDigest is the SHA-256 of all digests with their files, in the form that sha256sum prints.
func listDigest(list []job.Source) string {
	var b strings.Builder
	for _, s := range list {
		fmt.Fprintf(&b, "%s  %s\n", s.SHA256, s.File)
	}
	sum := sha256.Sum256([]byte(b.String()))
	return hex.EncodeToString(sum[:])
}
