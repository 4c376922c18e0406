package spectrum

import (
	"strings"
	"unicode"
)

// heading is what the header of a column says of it.
type heading struct {
	quantity quantity
	negative bool   // the column holds the negative of the quantity, as -Z''
	unitText string // as written; empty where no unit is stated
	unit     unit   // zero where the unit is unknown or not stated
	native   bool
}

const longestHeading = 200 // bytes

// parseHeading recognises a spelling of the trade with its sign and unit.
func parseHeading(text string) (h heading, ok bool) {
	for q, known := range quantities {
		if known.native != "" && strings.EqualFold(text, known.native) {
			return heading{quantity: quantity(q), unitText: text[strings.LastIndexByte(text, '_')+1:], unit: unit{1, 0}, native: true}, true
		}
	}
	if len(text) > longestHeading {
		return heading{}, false
	}
	text = plainSigns.Replace(text)
	if h, ok := parseName(text); ok {
		return h, true
	}
	for _, split := range unitPlaces {
		name, unitText, found := split(text)
		if h, ok := parseName(name); found && ok {
			h.unitText, h.unit = unitText, parseUnit(h.quantity, unitText)
			return h, true
		}
	}
	return heading{}, false
}

// Headings counts what a table's header names of a spectrum: frequencies, and parts of the impedance.
func (t *Table) Headings() (frequencies, parts int) {
	for _, c := range t.Header {
		switch h, ok := parseHeading(c.Text); {
		case !ok:
		case h.quantity == frequency:
			frequencies++
		default:
			parts++
		}
	}
	return frequencies, parts
}

// parseMapped takes sign and unit from a heading whose quantity job.yaml tells.
func parseMapped(text string, q quantity) heading {
	if h, ok := parseHeading(text); ok && h.quantity == q {
		return h
	}
	text = plainSigns.Replace(text)
	h := heading{quantity: q, negative: strings.HasPrefix(text, "-")}
	for _, split := range unitPlaces {
		if _, unitText, found := split(text); found && parseUnit(q, unitText).known() {
			h.unitText, h.unit = unitText, parseUnit(q, unitText)
			break
		}
	}
	return h
}

// plainSigns takes typographic signs back to those of a keyboard: primes, minus and dashes, the ohm
// sign (U+2126, from here on the letter), micro as the letter, no-break blanks.
var plainSigns = strings.NewReplacer(
	"′", "'", "″", "''", "‘", "'", "’", "'", "`", "'", "´", "'", "ʹ", "'", "ʺ", "''", "“", "''", "”", "''", `"`, "''",
	"−", "-", "–", "-", "—", "-", "‐", "-", "‑", "-",
	"\u2126", "Ω", "μ", "µ", "º", "°", "\u00A0", " ", "\u202F", " ", "\u2009", " ", "\n", " ", "∣", "|", "ǀ", "|",
)

// parseName looks a name without unit up.
func parseName(text string) (h heading, ok bool) {
	name := squeeze(text)
	for _, sign := range []string{"-", "minus", "negative", "neg"} {
		if rest, found := strings.CutPrefix(name, sign); found {
			name, h.negative = rest, true
			break
		}
	}
	h.quantity, ok = spellings[name]
	signed := h.quantity == imaginaryPart || h.quantity == phase
	return h, ok && (signed || !h.negative)
}

// squeeze leaves out what parts a name's letters, and capitals.
func squeeze(text string) string {
	return strings.Map(func(r rune) rune {
		if strings.ContainsRune(" _.()[]{}*", r) {
			return -1
		}
		return unicode.ToLower(r)
	}, text)
}

// unitPlaces are the ways to write a unit after a name, in the order in which they are tried.
var unitPlaces = []func(text string) (name, unit string, found bool){
	bracketed("(", ")"), bracketed("[", "]"), bracketed("{", "}"), slashed, trailing,
}

// bracketed takes Z' (ohm), Z' [ohm] and Z' / (ohm).
func bracketed(open, shut string) func(string) (name, unit string, found bool) {
	return func(text string) (name, unit string, found bool) {
		inner, found := strings.CutSuffix(text, shut)
		at := strings.LastIndex(inner, open)
		if !found || at < 0 {
			return "", "", false
		}
		return strings.TrimRight(inner[:at], " /,_"), strings.TrimSpace(inner[at+1:]), true
	}
}

// slashed takes Z'/ohm, the quantity divided by its unit (ISO 80000-1:2009, 7.1.4).
func slashed(text string) (name, unit string, found bool) {
	at := strings.LastIndex(text, "/")
	if at < 0 {
		return "", "", false
	}
	return text[:at], strings.TrimSpace(text[at+1:]), true
}

// trailing takes z_real_ohm, "Z' ohm", "Z', ohm" and "Z' in ohm". Only a known unit counts, since
// any last word could stand there.
func trailing(text string) (name, unit string, found bool) {
	at := strings.LastIndexAny(text, " _,")
	if at < 0 || !isUnit(text[at+1:]) {
		return "", "", false
	}
	return strings.TrimSuffix(strings.TrimRight(text[:at], " _,"), " in"), text[at+1:], true
}

func isUnit(text string) bool {
	return parseUnit(frequency, text).known() || parseUnit(modulus, text).known() || parseUnit(phase, text).known()
}
