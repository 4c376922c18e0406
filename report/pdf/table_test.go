package pdf

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"
)

// TestShare: widths add up to the room and wide words give way before numbers do.
func TestShare(t *testing.T) {
	words, numbers := column{}, column{setting: byPoint}
	for name, c := range map[string]struct {
		wanted  []float64
		columns []column
		want    []float64
	}{
		"evenly":            {[]float64{20, 30}, []column{words, numbers}, []float64{45, 55}},
		"to the stretching": {[]float64{20, 90}, []column{numbers, {stretch: 1}}, []float64{20, 80}},
		"words give way":    {[]float64{70, 50}, []column{words, numbers}, []float64{50, 50}},
		"then all":          {[]float64{70, 110}, []column{words, numbers}, []float64{18, 82}},
	} {
		got := share(c.wanted, c.columns, 100)
		for i := range got {
			if math.Abs(got[i]-c.want[i]) > 1./columnsPerMM {
				t.Errorf("%s: %v, want %v", name, got, c.want)
				break
			}
		}
	}
}

// TestTableRepeatsItsHead on every page, and keeps the head with two records.
func TestTableRepeatsItsHead(t *testing.T) {
	d := specimen(t, 1, 120)
	pages := pagesOf(t, bytesOf(t, Options{}, d))
	records, heads := 0, 0
	for _, p := range pages {
		n := strings.Count(p, "24.") + strings.Count(p, "25.") // some temperatures, in brackets below
		if strings.Contains(p, "Temp. / °C") {
			heads++
			if n < 2 {
				t.Errorf("a head stands over %d records", n)
			}
		}
		for _, m := range d.Assessment.Cells.At(0).Measurements {
			if strings.Contains(p, m.Row.MeasuredAt.Format("2006-01-02")+" "+fmt.Sprintf("%.2f", m.Row.TemperatureC)) {
				records++
			}
		}
	}
	if heads < 3 {
		t.Errorf("the head stands on %d pages", heads)
	}
	if records != 120 {
		t.Errorf("%d of 120 records", records)
	}
}

// A listing is set as the same records are, tall ones in parts, columns that say nothing left out.
func TestListingIsSetAsRecords(t *testing.T) {
	d := specimen(t, 1, 1)
	var records [][]entry
	for i := range 150 {
		records = append(records, entries(fmt.Sprint("cell ", i), "", fmt.Sprint(i, ".5")))
	}
	records[70][0].text = strings.Repeat("a tall record\n", 2*tallest+3)
	set := func(t *testing.T, of table) []byte {
		c := compositionOf(t, d)
		of.columns = []column{{head: "Cell"}, {head: "Nothing"}, {head: "Value", setting: byPoint}}
		of.note, of.tinted = "A note.", 3
		c.addTable(of.omit(""))
		f, err := c.render()
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if err := f.seal(); err != nil {
			t.Fatal(err)
		}
		if _, err := f.WriteTo(&b); err != nil {
			t.Fatal(err)
		}
		return b.Bytes()
	}
	want := set(t, table{records: records})
	got := set(t, table{many: listing{len(records), func(i int) []entry { return records[i] }}})
	if without := set(t, table{}); !bytes.Equal(got, want) || len(without) >= len(want) {
		t.Errorf("%d bytes, of records %d, of neither %d", len(got), len(want), len(without))
	}
}
