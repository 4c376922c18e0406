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
	c.sided("sha256", attachedName+": "+c.resultsDigest())
	if unused := unusedColumns(c.job); len(unused) > 0 {
		c.sided("extra-columns", c.say("statement.extra-columns", c.literally(strings.Join(unused, ", "))))
	}
	c.replacedCharacters()
	c.blank()
	c.authorisation()
}

// blank says what was left blank, on the page of the signatures, which then never stand alone.
func (c *composition) blank() {
	names := make([]string, len(c.doc.Blank))
	for i, key := range c.doc.Blank {
		if names[i] = c.literally(key); c.doc.Words.Has("pdf.blank." + key) {
			names[i] = c.say("blank."+key, nil)
		}
	}
	c.space(module / 2)
	c.hold(across(mm(sideHead).holding(c.sheet.sideHead.set(c.label("blank"))),
		mm(textWidth-sideHead).holding(c.sheet.note.set(c.say("statement.blank", strings.Join(names, ", "))))))
}

// statement is what statements may refer to.
type statement struct {
	Laboratory, Number, Tool, Version, Model, Build string
	Sampled, Address                                bool // a sampling plan, the laboratory's address is stated
}

func (c *composition) statement() statement {
	t := c.doc.Tool
	return statement{
		c.laboratory(), c.outside(c.job.Report.Number), c.literally(t.Name), c.literally(t.Version), c.literally(t.Model), c.literally(t.Build),
		c.job.Sampling != nil, c.job.Laboratory.Address != "",
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

// authorisation has lines to sign on, and the end of the report below; names are those of the job.
func (c *composition) authorisation() {
	const gap, room = 6, 13
	c.space(2 * module)
	c.hold(full(c.sheet.note.set(c.say("authorisation", c.statement()))))
	width := mm(textWidth-gap) / 2
	rows := c.abreast(c.signer(width, "prepared-by", c.job.Report.PreparedBy), pillar{gap, nil},
		c.signer(width, "authorised-by", c.job.Report.AuthorisedBy))
	line := width.holding(c.sheet.label.set(c.label("name-signature-date"))).WithStyle(lineAbove(c.sheet.colours.ink))
	c.add(append(rows, row.New(room), across(line, mm(gap).holding(), line), empty(2*module), c.end())...)
}

func (c *composition) signer(width mm, label, name string) pillar {
	return pillar{width, []item{{c.label(label), c.sheet.label, 0}, {c.outside(name), c.sheet.note.bold(), 0}}}
}

// end marks the end of the report, so that a missing page is noticed.
func (c *composition) end() core.Row {
	text, _ := c.shortened(c.say("end", c.identity()), c.sheet.note, textWidth, 2)
	return full(c.sheet.note.bold().aligned(align.Center).set(text))
}
