package part

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// inOrder sorts the parts of one job by their number, each of which is there once.
func inOrder(parts []*Part) ([]*Part, error) {
	if len(parts) == 0 {
		return nil, faulty("there are no parts to put together")
	}
	sorted := slices.Clone(parts)
	slices.SortStableFunc(sorted, func(a, b *Part) int { return cmp.Compare(a.Share.Number, b.Share.Number) })
	first := parts[0]
	for i, p := range parts {
		switch {
		case p.Inputs != first.Inputs || p.Cells != first.Cells:
			return nil, faulty("%s and %s are parts of different jobs, or of one whose files were changed between them; all parts of a report are judged from the same files",
				first.Name, p.Name)
		case p.Share.Of != first.Share.Of:
			return nil, faulty("%s is a part of %d and %s is one of %d; parts of a report are all of the same number", first.Name, first.Share.Of, p.Name, p.Share.Of)
		case slices.ContainsFunc(parts[:i], func(other *Part) bool { return other.Share == p.Share }):
			at := slices.IndexFunc(parts, func(other *Part) bool { return other.Share == p.Share })
			return nil, faulty("%s and %s are both part %d of %d; name each part once", parts[at].Name, p.Name, p.Share.Number, p.Share.Of)
		}
	}
	if missing := missing(sorted); len(missing) > 0 {
		return nil, faulty("of the %d parts of the report %s", first.Share.Of, enumerated(missing))
	}
	for _, p := range sorted {
		if from, to := p.Share.Cells(p.Cells); p.Judged.Len() != to-from {
			return nil, faulty("%s has %d cells where its share is %d", p.Name, p.Judged.Len(), to-from)
		}
	}
	return sorted, nil
}

// missing are the numbers of the parts that are not there.
func missing(sorted []*Part) (numbers []int) {
	at := 0
	for n := 1; n <= sorted[0].Share.Of; n++ {
		if at < len(sorted) && sorted[at].Share.Number == n {
			at++
			continue
		}
		numbers = append(numbers, n)
	}
	return numbers
}

// mostNamed are how many missing parts are named by their numbers.
const mostNamed = 20

func enumerated(numbers []int) string {
	var words []string
	for _, n := range numbers[:min(len(numbers), mostNamed)] {
		words = append(words, fmt.Sprint(n))
	}
	if more := len(numbers) - mostNamed; more > 0 {
		words = append(words, fmt.Sprintf("%d more", more))
	}
	if len(words) == 1 {
		return words[0] + " is missing"
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1] + " are missing"
}
