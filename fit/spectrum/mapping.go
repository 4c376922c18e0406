package spectrum

import (
	"fmt"
	"strings"
)

// heading is the place where Columns names the column of a quantity.
func (c *Columns) heading(q quantity) *string {
	return [quantityCount]*string{&c.Frequency, &c.Real, &c.Imaginary, &c.Magnitude, &c.Phase}[q]
}

// hasHeadings says whether any column is named.
func (c *Columns) hasHeadings() bool {
	return c.Frequency+c.Real+c.Imaginary+c.Magnitude+c.Phase != ""
}

// trimmed leaves out outer blanks.
func (c Columns) trimmed() Columns {
	for q := range quantityCount {
		*c.heading(q) = strings.TrimSpace(*c.heading(q))
	}
	c.Unit, c.ImaginarySign = strings.TrimSpace(c.Unit), strings.TrimSpace(c.ImaginarySign)
	return c
}

// withoutHeadings keeps only unit and sign.
func (c *Columns) withoutHeadings() Columns {
	return Columns{Unit: c.Unit, ImaginarySign: c.ImaginarySign}
}

// withoutUnitAndSign keeps only the headings.
func (c Columns) withoutUnitAndSign() Columns {
	c.Unit, c.ImaginarySign = "", ""
	return c
}

// unit is the zero unit where none is given.
func (c *Columns) unit() unit { return parseUnit(modulus, plainSigns.Replace(c.Unit)) }

// String is the line of job.yaml that says the same.
func (c Columns) String() string {
	var entries []string
	for q := range quantityCount {
		if text := *c.heading(q); text != "" {
			entries = append(entries, quantities[q].key+": "+yamlText(text))
		}
	}
	if c.Unit != "" {
		entries = append(entries, "unit: "+c.Unit)
	}
	if c.ImaginarySign != "" {
		entries = append(entries, fmt.Sprintf("imaginary_sign: %q", c.ImaginarySign))
	}
	return "columns: {" + strings.Join(entries, ", ") + "}"
}

// yamlText is a YAML 1.2 double-quoted scalar, whose escapes those of %q are among.
func yamlText(text string) string { return fmt.Sprintf("%q", text) }

// fault says what no heading, unit or sign can be.
func (c *Columns) fault() string {
	for q := range quantityCount {
		if text := *c.heading(q); len(text) > longestHeading {
			return fmt.Sprintf("%s %s of %d bytes in job.yaml's columns; a heading has at most %d", quantities[q].key, quote(text), len(text), longestHeading)
		}
	}
	switch {
	case c.Unit != "" && !c.unit().known():
		return fmt.Sprintf("unit %s in job.yaml's columns; %s are allowed", quote(c.Unit), quantities[modulus].allowed)
	case c.ImaginarySign != "" && c.ImaginarySign != "+" && c.ImaginarySign != "-":
		return fmt.Sprintf("imaginary_sign %s in job.yaml's columns; %q and %q are allowed", quote(c.ImaginarySign), "+", "-")
	}
	return ""
}
