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

// where names a measurement.
func (c *check) where(m *health.Measurement) string {
	return fmt.Sprintf("%s (%s, %s)", legible(m.Row.File), legible(m.Row.Cell), c.words.Notation().Date(m.Row.MeasuredAt))
}
