package pdf

import (
	"bytes"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"ohmledger/report"
)

// describe sets the document's properties and attaches the results.
func (c *composition) describe() error {
	pdf := c.provider.pdf
	plain := func(s string) string { return strings.ReplaceAll(c.provider.alphabet.legible(s), string(guard), "") }
	pdf.SetTitle(plain(c.title()+" "+c.job.Report.Number), true)
	pdf.SetAuthor(plain(c.job.Laboratory.Name), true)
	pdf.SetSubject(plain(c.say("subject", c.identity())), true)
	pdf.SetCreator(plain(c.doc.Tool.Name+" "+c.doc.Tool.Version), true)
	pdf.SetProducer(plain(c.doc.Tool.Name+" "+c.doc.Tool.Version), true)
	pdf.SetLang(c.doc.Words.Language)
	pdf.SetCreationDate(c.issued())
	pdf.SetModificationDate(c.issued())
	return c.attach()
}

// issued is the day of issue, or the beginning of Unix time where the job states none: the clock would
// make two files of one report differ.
func (c *composition) issued() time.Time {
	if t := c.job.Report.Issued; !t.IsZero() {
		return t.UTC()
	}
	return time.Unix(0, 0).UTC()
}

// attach puts results.json into the file, so that every number can be had as computed.
func (c *composition) attach() error {
	var b bytes.Buffer
	if err := report.WriteResults(&b, c.doc); err != nil {
		return err
	}
	c.provider.pdf.SetAttachments([]fpdf.Attachment{{
		Content: b.Bytes(), Filename: "results.json", Description: c.say("attachment", nil),
	}})
	return nil
}
