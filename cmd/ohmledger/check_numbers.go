package main

import (
	"bytes"
	"fmt"
	"strings"
	"text/tabwriter"

	"ohmledger/health"
	"ohmledger/report/notation"
)

// milliohm is the unit of a shift along the real axis, whatever its size.
var milliohm = notation.Scale{Symbol: "mΩ", Power: -3}

// tellNumbers is the table of two spectra that are compared, and of what they differ by.
func (c *check) tellNumbers(k *health.Comparison) {
	n := c.words.Notation()
	shift, arc, left := notation.NotHad, notation.NotHad, notation.NotHad
	if k.Comparable {
		shift = signed(k.Shift.Estimate(), n.Value(k.Shift, milliohm))
		arc = signed(k.ArcGrowth.Estimate(), n.Value(k.ArcGrowth, notation.Percent.Scale()))
		left = c.number(k.Left, health.Fraction)
	}
	c.tellTable([][4]string{
		{"head", letters[0], letters[1], c.words.Say("check.pair.difference", nil)},
		{"ohmic", c.ohmic(&k.A), c.ohmic(&k.B), shift},
		{"arcs", c.arcs(&k.A), c.arcs(&k.B), arc},
		{"noise", c.unlessNone(k.NoiseA, health.Fraction), c.unlessNone(k.NoiseB, health.Fraction), ""},
		{"inductance", c.unlessNone(k.InductanceA, health.Henry), c.unlessNone(k.InductanceB, health.Henry), ""},
		{"left", "", "", left},
	})
	c.tell("", c.words.Say("check.pair.brackets", k.Comparable))
}

// tellTable prints rows, each with the block of its head.
func (c *check) tellTable(rows [][4]string) {
	var b bytes.Buffer
	table := tabwriter.NewWriter(&b, 0, 0, 3, ' ', 0)
	for _, r := range rows {
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\n", c.words.Say("check.pair."+r[0], nil), r[1], r[2], r[3])
	}
	table.Flush()
	for line := range strings.Lines(b.String()) {
		c.con.say("%s", strings.TrimRight(line, " \n"))
	}
}

// signed puts a plus before a number that is positive.
func signed(x float64, text string) string {
	if x > 0 {
		return "+" + text
	}
	return text
}

// unlessNone writes a number that is zero where it is not known.
func (c *check) unlessNone(x float64, unit health.Unit) string {
	if x == 0 {
		return notation.NotHad
	}
	return c.number(x, unit)
}
