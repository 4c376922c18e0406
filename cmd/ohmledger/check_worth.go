package main

import (
	"ohmledger/health"
)

// worth is the verdict on a measurement: whether it is worth keeping. The words are those that machines read.
type worth string

const (
	sound   worth = "worth keeping"
	warned  worth = "worth keeping with warnings"
	byHand  worth = "accepted by hand"
	discard worth = "not worth keeping"
	unread  worth = "not read" // a file that lands and cannot be read
)

// worths are those that a measurement which was read can have, the gravest first.
var worths = []worth{discard, byHand, warned, sound}

// worthOf is the verdict that the checks of a measurement give.
func worthOf(m *health.Measurement) worth {
	q := &m.Quality
	switch {
	case !q.Accepted:
		return discard
	case q.AcceptedByHand != "":
		return byHand
	case q.Gravest() == health.Warning:
		return warned
	}
	return sound
}

// gravest is the gravest verdict of a list; of none sound.
func gravest(list []*health.Measurement) worth {
	for _, w := range worths {
		for _, m := range list {
			if worthOf(m) == w {
				return w
			}
		}
	}
	return sound
}

// worthBlocks are the words for people, and worthTints their colours. The word says it too.
var (
	worthBlocks = map[worth]string{
		sound: "check.worth.sound", warned: "check.worth.warned", byHand: "check.worth.by-hand",
		discard: "check.worth.discard", unread: "check.worth.unread",
	}
	worthTints = map[worth]tint{sound: green, warned: yellow, byHand: yellow, discard: red, unread: red}
)

// severityTints are the colours of findings.
var severityTints = map[health.Severity]tint{health.Note: green, health.Warning: yellow, health.Reject: red}

// verdict is the word of a verdict for people, in its colour.
func (c *check) verdict(w worth) string {
	return c.con.tinted(worthTints[w], c.words.Say(worthBlocks[w], nil))
}
