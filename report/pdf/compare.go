package pdf

import (
	"fmt"

	"ohmledger/report"
)

// Compare holds the texts of one file against those of another, page by page.
func Compare(found, expected *File) *report.Differences {
	d := &report.Differences{}
	if len(found.Pages) != len(expected.Pages) {
		d.Add("pages", fmt.Sprint(len(found.Pages)), fmt.Sprint(len(expected.Pages)))
	}
	for i := range min(len(found.Pages), len(expected.Pages)) {
		a, b := apart(found.Pages[i], expected.Pages[i])
		place := fmt.Sprintf("page %d", i+1)
		for k := range max(len(a), len(b)) {
			d.Hold(place, nth(a, k), nth(b, k))
		}
	}
	return d
}

// apart leaves out what two lists have in common at their beginning and their end.
func apart(a, b []string) (restA, restB []string) {
	for len(a) > 0 && len(b) > 0 && a[0] == b[0] {
		a, b = a[1:], b[1:]
	}
	for len(a) > 0 && len(b) > 0 && a[len(a)-1] == b[len(b)-1] {
		a, b = a[:len(a)-1], b[:len(b)-1]
	}
	return a, b
}

func nth(list []string, i int) string {
	if i < len(list) {
		return list[i]
	}
	return ""
}
