package pdf

import (
	"testing"

	"github.com/johnfercher/maroto/v2/pkg/components/row"
	"github.com/johnfercher/maroto/v2/pkg/core"
)

func blankFlow(room float64) *flow { return newFlow(newProvider(pageConfig()), room) }

// heights are those of the rows of each page.
func heights(f *flow) [][]float64 {
	pages := make([][]float64, len(f.pages))
	for i, rows := range f.pages {
		for _, r := range rows {
			pages[i] = append(pages[i], f.height(r))
		}
	}
	return pages
}

func equal(a, b [][]float64) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if len(a[i]) != len(b[i]) {
			return false
		}
		for k := range a[i] {
			if a[i][k] != b[i][k] {
				return false
			}
		}
	}
	return true
}

func TestFlow(t *testing.T) {
	of := func(mm float64) core.Row { return row.New(mm) }
	for name, c := range map[string]struct {
		fill func(f *flow)
		want [][]float64
	}{
		"rows fill a page":                   {func(f *flow) { f.add(of(40)); f.add(of(60)); f.add(of(1)) }, [][]float64{{40, 60}, {1}}},
		"rows of one call stay together":     {func(f *flow) { f.add(of(70)); f.add(of(20), of(20)) }, [][]float64{{70}, {20, 20}}},
		"a heading goes with what it heads":  {func(f *flow) { f.add(of(70)); f.hold(of(10)); f.add(of(30)) }, [][]float64{{70}, {10, 30}}},
		"two headings as well":               {func(f *flow) { f.add(of(70)); f.hold(of(5)); f.space(2); f.hold(of(5)); f.add(of(30)) }, [][]float64{{70}, {5, 2, 5, 30}}},
		"room above":                         {func(f *flow) { f.add(of(40)); f.space(3); f.space(2); f.add(of(40)) }, [][]float64{{40, 3, 40}}},
		"no room above at the top of a page": {func(f *flow) { f.space(9); f.add(of(90)); f.space(3); f.add(of(40)) }, [][]float64{{90}, {40}}},
		"a table's head is repeated":         {func(f *flow) { f.repeat = []core.Row{of(7)}; f.add(of(90)); f.add(of(40)) }, [][]float64{{7, 90}, {7, 40}}},
		"too high together":                  {func(f *flow) { f.add(of(60), of(60)) }, [][]float64{{60}, {60}}},
		"too high alone":                     {func(f *flow) { f.add(of(50)); f.add(of(130)); f.add(of(50)) }, [][]float64{{50}, {130}, {50}}},
		"a page on demand, but not two":      {func(f *flow) { f.startPage(); f.startPage(); f.add(of(5)); f.startPage(); f.add(of(6)) }, [][]float64{{5}, {6}}},
	} {
		f := blankFlow(100)
		c.fill(f)
		if got := heights(f); !equal(got, c.want) {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
}
