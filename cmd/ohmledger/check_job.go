package main

import (
	"context"
	"fmt"

	"ohmledger/health"
)

// job checks all spectra of a job, each with what its row and the cell's other ones say.
func (c *check) job(ctx context.Context) error {
	folder, err := openFolder(c.Inputs[0], "job folder")
	if err != nil {
		return err
	}
	defer folder.Close()
	m := c.con.meter()
	_, d, err := order{}.judged(ctx, folder.FS(), m)
	m.clear()
	if err != nil {
		return err
	}
	c.words = d.Words
	all := measurementsOf(d.Assessment)
	if c.JSON {
		doc := c.document(nil, all...)
		doc.Job, doc.NotJudged = &c.Inputs[0], []string{}
		err = c.print(doc, indented)
	} else {
		c.tellJob(d.Assessment, all)
	}
	if err == nil {
		err = d.Words.Err()
	}
	return worthError(err, all...)
}

// measurementsOf are all measurements of a job, in its order.
func measurementsOf(a *health.Assessment) (all []*health.Measurement) {
	for _, c := range a.Cells.All() {
		for k := range c.Measurements {
			all = append(all, &c.Measurements[k])
		}
	}
	return all
}

// tellJob says how many spectra of a job are worth keeping, then what was found and where.
func (c *check) tellJob(a *health.Assessment, all []*health.Measurement) {
	c.con.say("%s: %s", c.verdict(gravest(all)), c.sums(all))
	for _, m := range all {
		if reason := m.Quality.AcceptedByHand; reason != "" {
			c.con.say("%s", c.words.Say("check.accepted", map[string]string{"Where": c.where(m), "Reason": legible(reason)}))
		}
	}
	for _, t := range a.Tally().Findings {
		for _, group := range c.alike(t.Code, all) {
			c.con.say("")
			c.tellAlike(group)
		}
	}
	c.con.say("")
	c.tellCaution(all...)
}

// sums counts the spectra by verdict.
func (c *check) sums(all []*health.Measurement) string {
	counts := countsOf(all)
	return c.words.Say("check.job", map[string]any{"Job": legible(c.Inputs[0]), "Spectra": len(all),
		"Discarded": counts[discard], "ByHand": counts[byHand], "Warned": counts[warned]})
}

func countsOf(all []*health.Measurement) map[worth]int {
	counts := map[worth]int{}
	for _, m := range all {
		counts[worthOf(m)]++
	}
	return counts
}

// place is a measurement that shows a finding.
type place struct {
	*health.Measurement
	health.Finding
}

// alike are the places of one code in groups of which the same is said but for the size.
func (c *check) alike(code string, all []*health.Measurement) (groups [][]place) {
	of := map[string]int{}
	for _, m := range all {
		for _, f := range m.Quality.Findings {
			if f.Code != code {
				continue
			}
			key := c.part(f, "seen") + c.part(f, "likely") + f.Advice
			i, known := of[key]
			if !known {
				i = len(groups)
				of[key], groups = i, append(groups, nil)
			}
			groups[i] = append(groups[i], place{m, f})
		}
	}
	return groups
}

// part is one of the four things that a finding says.
func (c *check) part(f health.Finding, of string) string {
	return health.Phrase(c.words.Phrase).Part(f, of)
}

// mostPlaces is how many places of a group are listed.
var mostPlaces = map[health.Severity]int{health.Reject: 50, health.Warning: 10, health.Note: 3}

// tellAlike says of a group what was seen, where and how big, what it most likely is, what follows, and what to do.
func (c *check) tellAlike(group []place) {
	f := group[0].Finding
	c.tell(c.severity(f.Severity), c.part(f, "seen"))
	listed := group[:min(len(group), mostPlaces[f.Severity])]
	for _, p := range listed {
		c.item(c.where(p.Measurement) + ": " + c.part(p.Finding, "size"))
	}
	if more := len(group) - len(listed); more > 0 {
		c.item(c.words.Say("check.job.more", more))
	}
	c.tell(c.margin(), c.part(f, "likely"))
	if touched := c.touched(f); touched != "" {
		c.tell(c.margin(), touched)
	}
	c.tell(c.margin(), c.words.Say("check.do", f.Advice))
}

// item is one of a list.
func (c *check) item(text string) { c.tellWithin(c.margin()+"- ", c.margin()+"  ", text) }

// where names a measurement.
func (c *check) where(m *health.Measurement) string {
	return fmt.Sprintf("%s (%s, %s)", legible(m.Row.File), legible(m.Row.Cell), c.words.Notation().Date(m.Row.MeasuredAt))
}
