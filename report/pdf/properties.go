package pdf

import (
	"cmp"
	"time"

	"codeberg.org/go-pdf/fpdf"
)

// describe sets the document's properties and attaches the results.
func (c *composition) describe() {
	pdf := c.provider.pdf
	plain := func(s string) string { return unmarked(c.provider.alphabet.legible(s)) }
	pdf.SetTitle(plain(c.title()+" "+c.job.Report.Number), true)
	pdf.SetAuthor(plain(c.job.Laboratory.Name), true)
	pdf.SetSubject(plain(c.say("subject", c.identity())), true)
	pdf.SetCreator(plain(c.doc.Tool.Name+" "+c.doc.Tool.Version), true)
	pdf.SetProducer(plain(c.doc.Tool.Name+" "+c.doc.Tool.Version), true)
	pdf.SetLang(c.doc.Words.Language)
	pdf.SetCreationDate(c.issued())
	pdf.SetModificationDate(c.issued())
	pdf.SetKeywords(c.keywords(), true)
	c.attach()
}

// issued is the day of issue, or the beginning of Unix time where the job states none: the clock would
// make two files of one report differ.
func (c *composition) issued() time.Time {
	if t := c.job.Report.Issued; !t.IsZero() {
		return t.UTC()
	}
	return time.Unix(0, 0).UTC()
}

// attachedName is that of the attached results.
const attachedName = "results.json"

// attach puts results.json into the file, so that every number can be had as computed.
func (c *composition) attach() {
	c.provider.pdf.SetAttachments([]fpdf.Attachment{{Content: standIn, Filename: attachedName, Description: c.say("attachment", nil)}})
}

// resultsDigest is the SHA-256 of the attached file.
func (c *composition) resultsDigest() string { return c.results.sha256 }

// keywords say for programs what the file holds.
func (c *composition) keywords() string {
	return keywordsBegin + string(cmp.Or(c.options.Cells, "all"))
}

const keywordsBegin = "cells: "
