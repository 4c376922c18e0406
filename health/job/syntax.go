package job

import (
	"errors"
	"regexp"
	"strings"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/token"
)

// Bounds of job.yaml. A job with a thousand reference cells stays far below them.
const (
	maxBytes  = 1 << 20
	maxTokens = 20_000 // words and signs; parsing time grows with the square of a group's keys
	maxDepth  = 16     // brackets within brackets; job.yaml itself needs four
)

// refusedTokens are the parts of YAML that a job description has no use for and that mostly are slips.
var refusedTokens = map[token.Type]struct{ message, remedy string }{
	token.AnchorType:     {"an & at the beginning of a value has a meaning of its own in YAML", `put quotes round the text: "&…"`},
	token.AliasType:      {"a * at the beginning of a value has a meaning of its own in YAML", `put quotes round the text: "*…"`},
	token.TagType:        {"a ! at the beginning of a value has a meaning of its own in YAML", `put quotes round the text: "!…"`},
	token.MergeKeyType:   {"<< merges keys in YAML, which job.yaml does not use", "write every key where it belongs"},
	token.MappingKeyType: {"a ? at the beginning of a line or value has a meaning of its own in YAML", `put quotes round the text: "?…"`},
	token.DirectiveType:  {"a % at the beginning of a line has a meaning of its own in YAML", "remove the line"},
}

// plain refuses what is more than a tree of keys, lists and values, and texts too deep or too long to parse.
func (r *reading) plain(tokens token.Tokens) bool {
	before, depth, dashes := len(r.faults), 0, 0
	if len(tokens) > maxTokens {
		r.faultAt(0, 0, "", "%d words and signs; a job description has at most %d", len(tokens), maxTokens)
		return false
	}
	for i, t := range tokens {
		at := t.Position
		if refused, is := refusedTokens[t.Type]; is {
			r.faultAt(at.Line, at.Column, refused.remedy, "%s", refused.message)
		}
		switch t.Type {
		case token.SequenceStartType, token.MappingStartType:
			depth++
		case token.SequenceEndType, token.MappingEndType:
			depth--
		case token.DocumentHeaderType, token.DocumentEndType:
			r.separator(tokens, i)
		case token.CommentType:
			r.hidden(tokens, i)
		case token.SingleQuoteType, token.DoubleQuoteType:
			r.endless(t)
		}
		if dashes = follow(dashes, tokens, i); depth > maxDepth || dashes > maxDepth {
			r.faultAt(at.Line, at.Column, "", "more than %d brackets or dashes within one another; job.yaml needs four", maxDepth)
			return false
		}
	}
	return len(r.faults) == before
}

// follow counts dashes that follow one another on one line.
func follow(dashes int, tokens token.Tokens, i int) int {
	switch {
	case tokens[i].Type != token.SequenceEntryType:
		return 0
	case i > 0 && tokens[i-1].Position.Line == tokens[i].Position.Line:
		return dashes + 1
	default:
		return 1
	}
}

// separator refuses a second document. A --- before everything and a … after everything do no harm.
func (r *reading) separator(tokens token.Tokens, i int) {
	inked := func(list token.Tokens) bool {
		for _, t := range list {
			if t.Type != token.CommentType && t.Type != token.DocumentEndType {
				return true
			}
		}
		return false
	}
	if inked(tokens[:i]) && inked(tokens[i+1:]) {
		at := tokens[i].Position
		r.faultAt(at.Line, at.Column, "remove the line, or keep the other job in a folder of its own",
			"%q begins a second document; a job folder holds one job", tokens[i].Value)
	}
}

// endless refuses a text in quotes that goes on over lines: mostly its end was forgotten, and it has swallowed keys.
func (r *reading) endless(quoted *token.Token) {
	if strings.Contains(strings.TrimSpace(quoted.Origin), "\n") {
		r.faultAt(quoted.Position.Line, quoted.Position.Column, "close it where the text ends; for a text of several lines write | after the colon, and the lines indented below",
			"a text in quotes begins here and does not end on its line")
	}
}

// hidden refuses text that a # turns into a comment, as in `reference: #4711`: it would be lost without a word.
// A comment with a blank after its # is meant as one.
func (r *reading) hidden(tokens token.Tokens, i int) {
	comment := tokens[i]
	if i == 0 || !wordFirst.MatchString(comment.Value) {
		return
	}
	before, first := tokens[i-1], "#"+strings.Fields(comment.Value)[0]
	if before.Position.Line != comment.Position.Line || !holdsText[before.Type] {
		return
	}
	r.faultAt(comment.Position.Line, comment.Position.Column,
		`put quotes round the whole text where the # belongs to it, as in "`+first+`"; or a blank after the # where it begins a comment`,
		"everything after a # is a comment, so %s is not read", quote(first))
}

// wordFirst is a comment that begins with a word or number, right after its #.
var wordFirst = regexp.MustCompile(`^[\p{L}\p{N}]`)

// holdsText are the tokens after which a # may well be meant as text.
var holdsText = map[token.Type]bool{token.MappingValueType: true, token.StringType: true, token.IntegerType: true,
	token.FloatType: true, token.OctetIntegerType: true, token.SequenceEntryType: true}

// slips are the syntax faults of the YAML library that people make, in words they can act on. The first that fits is taken.
var slips = []struct {
	library         *regexp.Regexp
	message, remedy string
}{
	{regexp.MustCompile(`tab|\t`), "a tab character stands where only blanks may", "replace tabs by blanks; each level is indented by two"},
	{regexp.MustCompile(`double-quoted text`), `a text that begins with " does not end`, `add the closing "`},
	{regexp.MustCompile(`single-quoted text`), "a text that begins with ' does not end", "add the closing '; an apostrophe within such a text is written twice"},
	{regexp.MustCompile(`escape|UTF-16|UTF-32|surrogate`), `a \ within a text in double quotes has a meaning of its own`, `use single quotes ('…'), or write \\`},
	{regexp.MustCompile(`'\]'|\[`), "a list that begins with [ has not ended before this place, or a comma is missing", "write it as [a, b, c]"},
	{regexp.MustCompile(`'\}'|\{|flow map`), "a group that begins with { has not ended before this place, or a comma is missing", "write it as {key: value, key: value}"},
	{regexp.MustCompile(`block sequence entries`), "a - here begins a list", `put quotes round a text that begins with - ("-…"), or begin a new line for a list`},
	{regexp.MustCompile(`mapping value is not allowed`), "a second colon, or a line that is indented too far", `put quotes round a text that holds a colon and a blank ("a: b"), or indent the line as its neighbours`},
	{regexp.MustCompile(`reserved character`), "the first character has a meaning of its own in YAML", "put quotes round the text"},
	{regexp.MustCompile(`unexpected key name|non-map value|value is not allowed|map key|end content|unexpected scalar|invalid key|implicit line break|could not find map`),
		"a line that is neither a key with a colon and a blank nor indented as its neighbours are", "write it as key: value, with a blank after the colon, and indent it as the keys beside it"},
}

// syntax words what the library refuses.
func (r *reading) syntax(err error) {
	var library yaml.Error
	if !errors.As(err, &library) {
		r.faultAt(0, 0, "", "no YAML: %v", err)
		return
	}
	line, column := 0, 0
	if t := library.GetToken(); t != nil {
		line, column = t.Position.Line, t.Position.Column
	}
	for _, slip := range slips {
		if slip.library.MatchString(library.GetMessage()) {
			r.faultAt(line, column, slip.remedy, "%s", slip.message)
			return
		}
	}
	r.faultAt(line, column, "", "no YAML: %s", library.GetMessage())
}
