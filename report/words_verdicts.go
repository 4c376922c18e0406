package report

import (
	"fmt"
	"strings"
	"text/template"

	"ohmledger/fit/spectrum"
)

// verdictBlocks name what a reader takes a verdict from.
var verdictBlocks = [...]string{"verdict.pass", "verdict.conditional-pass", "verdict.conditional-fail", "verdict.fail", "verdict.not-evaluated"}

// verdictsAlike finds a laboratory's block of a verdict that says what another verdict says, there or as shipped: a report must not call
// two verdicts alike, nor one by the other's name.
func (w *Words) verdictsAlike() (found spectrum.Errors) {
	for _, block := range verdictBlocks {
		if !w.foreign[block] {
			continue
		}
		word := verdictWord(w.own, block)
		for _, other := range verdictBlocks {
			if other == block || word != verdictWord(w.own, other) && word != verdictWord(w.blocks, other) {
				continue
			}
			t := w.own.Lookup(block)
			fault := at(t.Tree, t.Root)
			fault.Message = fmt.Sprintf("the block %q says %q, which is the word of %q; each verdict must have a word of its own", block, word, other)
			found = append(found, fault)
			break
		}
	}
	return found
}

// verdictWord is what a block says, whatever its case; empty where it cannot be said, which is told where it is used.
func verdictWord(set *template.Template, block string) string {
	if set.Lookup(block) == nil {
		return ""
	}
	text, err := execute(set, block, nil)
	if err != nil {
		return ""
	}
	return strings.ToLower(strings.Join(strings.Fields(text), " "))
}
