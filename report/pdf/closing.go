package pdf

import (
	"strings"

	"github.com/johnfercher/maroto/v2/pkg/components/row"
	"github.com/johnfercher/maroto/v2/pkg/consts/align"
	"github.com/johnfercher/maroto/v2/pkg/core"
)

// closing is what bears on the whole report: settings, inputs, cautions, what it claims, who answers for
// it, and its end.
func (c *composition) closing() {
	c.settings()
	c.inputs()
	c.section("statements")
	for _, name := range []string{"claims", "cautions", "scope", "supplied", "providers"} {
		c.sided(name, c.say("statement."+name, c.statement()))
	}
	if len(c.doc.Assessment.Job.ExtraColumns) > 0 {
		c.sided("extra-columns", c.say("statement.extra-columns", literally(strings.Join(c.job.ExtraColumns, ", "))))
	}
	c.sided("blank", c.say("statement.blank", literally(strings.Join(c.doc.Blank, ", "))))
	c.replacedCharacters()
	c.authorisation()
	c.end()
}

// statement is what statements may refer to.
type statement struct {
	Laboratory, Number, Tool, Version, Model, Build string
	Sampled                                         bool
}

func (c *composition) statement() statement {
	t := c.doc.Tool
	return statement{
		c.laboratory(), c.outside(c.job.Report.Number), literally(t.Name), literally(t.Version), literally(t.Model), literally(t.Build),
		c.job.Sampling != nil,
	}
}

// replacedCharacters says what the typeface lacks. All text before it has been set, so that the list is
// complete; the end of the report brings nothing new.
func (c *composition) replacedCharacters() {
	c.provider.alphabet.legible(c.job.Report.PreparedBy + c.job.Report.AuthorisedBy)
	if missing := c.provider.alphabet.missing(); len(missing) > 0 {
		c.sided("replaced", c.say("statement.replaced", strings.Join(missing, ", ")))
	}
}

// authorisation has lines to sign on; names are those of the job.
func (c *composition) authorisation() {
	const gap, room = 6, 14
	c.space(3 * module)
	width := mm(textWidth-gap) / 2
	var names, labels []core.Col
	for i, signer := range []struct{ label, name string }{
		{"prepared-by", c.job.Report.PreparedBy}, {"authorised-by", c.job.Report.AuthorisedBy},
	} {
		if i > 0 {
			names, labels = append(names, mm(gap).holding()), append(labels, mm(gap).holding())
		}
		names = append(names, c.stack(width, item{c.label(signer.label), c.sheet.label, 0}, item{c.outside(signer.name), c.sheet.note.bold(), 0}))
		labels = append(labels, width.holding(c.sheet.label.set(c.label("name-signature-date"))).WithStyle(lineAbove(c.sheet.colours.ink)))
	}
	c.hold(full(c.sheet.note.set(c.say("authorisation", c.statement()))))
	c.add(across(names...), row.New(room), across(labels...))
}

// end marks the end of the report, so that a missing page is noticed.
func (c *composition) end() {
	c.space(3 * module)
	c.add(full(c.sheet.note.bold().aligned(align.Center).set(c.say("end", c.identity()))))
}
