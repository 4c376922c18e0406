package pdf

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
)

// A label for each graded cell that meets the job's limits, with what its grade rests on; none for another.
func TestLabels(t *testing.T) {
	d := specimen(t, 7, 2)
	d.Assessment.Job.Grades = []job.Grade{{Name: "Q1", Limits: []job.Limit{{Quantity: job.ChargeTransferGrowth, Side: job.Max, Bound: 1.4}}}}
	for i := range d.Assessment.Cells.Len() {
		d.Assessment.Cells.At(i).Grade = []string{"Q1", ""}[i%2]
		d.Assessment.Cells.At(i).Verdict = health.Pass
	}
	d.Assessment.Cells.At(4).Verdict = health.Fail
	all := strings.Join(pagesOf(t, bytesOf(t, Options{Cells: NoCells}, d)), " ")
	if n := strings.Count(all, "Grade Q1 measured"); n != 3 {
		t.Errorf("%d labels, want 3", n)
	}
	for _, want := range []string{"A-001 Grade Q1 measured 2026-03-18 report TCL-2026-041 Rct growth 1.4", "A grade is no safety certificate."} {
		if !strings.Contains(all, want) {
			t.Errorf("%q not found in %q", want, all[strings.Index(all, "Labels for"):][:400])
		}
	}
	d.Assessment.Job.Baseline.Cells = []string{d.Assessment.Cells.At(6).Name}
	if all := strings.Join(pagesOf(t, bytesOf(t, Options{Cells: NoCells}, d)), " "); strings.Count(all, "Grade Q1 measured") != 2 {
		t.Error("a label for a reference cell")
	}
	d.Assessment.Job.Grades = nil
	if all := strings.Join(pagesOf(t, bytesOf(t, Options{Cells: NoCells}, d)), " "); strings.Contains(all, "Labels") {
		t.Error("labels without grades")
	}
}

// A label gives a growth with the ends that it is decided on, and what is no growth with its expanded uncertainty.
func TestLabelValues(t *testing.T) {
	c := compositionOf(t, specimen(t, 1, 1))
	v := fit.NewValue(1.20, 1.20*0.3642)
	for q, want := range map[job.Quantity]string{job.ChargeTransferGrowth: "1.20 (0.58 … 2.49) (k = 2)", job.ResistanceStateOfHealth: "1.20 ± 0.87 (k = 2)"} {
		if got := c.labelValue(q, v); got != want {
			t.Errorf("%s: %q, want %q", q, got, want)
		}
	}
}

// The code names report, cell and grade, and ends in the digest; a text from outside may be of any length.
func TestCodeText(t *testing.T) {
	d := specimen(t, 1, 1)
	c := compositionOf(t, d)
	cell := &health.Cell{Name: "B-7", Grade: "A"}
	if got, want := c.codeText(cell, "00ff"), "TCL-2026-041/B-7/A/SHA256:00FF"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	everyText(d, hostileText)
	cell.Name, cell.Grade = strings.Repeat(hostileText, 90), strings.Repeat("😀_{", 900)
	matrixOf(compositionOf(t, d).codeText(cell, strings.Repeat("0", 64)))
}

// The symbol's side is 17 + 4·version modules, and a finder pattern stands in three of its corners (ISO/IEC 18004, 5.3.1 and 5.3.3).
func TestMatrixHasItsFinders(t *testing.T) {
	finder := []string{"#######", "#.....#", "#.###.#", "#.###.#", "#.###.#", "#.....#", "#######"}
	for _, text := range []string{"A", "OBH-2026-031/TM-01/A/SHA256:" + strings.Repeat("0F", 32), strings.Repeat("é", 200)} {
		m := matrixOf(text)
		side := len(m)
		if (side-17)%4 != 0 {
			t.Errorf("%d modules", side)
		}
		for _, corner := range [][2]int{{0, 0}, {side - 7, 0}, {0, side - 7}} {
			for y, row := range finder {
				for x, want := range row {
					if m[corner[1]+y][corner[0]+x] != (want == '#') {
						t.Fatalf("%d modules: no finder at %v", side, corner)
					}
				}
			}
		}
	}
}

// Lines and dashes put every module where it belongs: each is looked at in the middle, in a picture of the page.
func TestMatrixIsDrawnModuleByModule(t *testing.T) {
	const dots, side = 300, 144. // an inch; two inches
	m := matrixOf("TCL-2026-041/A-001/A/SHA256:" + strings.Repeat("3C", 32))
	pdf := page(t)
	pdf.RawWriteStr(m.drawn(72, 72, side))
	var b bytes.Buffer
	if err := pdf.Output(&b); err != nil {
		t.Fatal(err)
	}
	picture := outputOf(t, b.Bytes(), "pdftoppm", "-gray", "-r", fmt.Sprint(dots), "FILE")
	var width, height, most int
	if _, err := fmt.Sscanf(string(picture[:32]), "P5\n%d %d\n%d\n", &width, &height, &most); err != nil {
		t.Fatal(err)
	}
	grey := picture[len(picture)-width*height:]
	module := side / 72 * dots / float64(len(m))
	wrong := 0
	for y, row := range m {
		for x, dark := range row {
			left := dots + (float64(x)+0.5)*module
			up := dots + side/72*dots - (float64(y)+0.5)*module
			if at := grey[(height-int(up))*width+int(left)]; dark != (at < 128) {
				wrong++
			}
		}
	}
	if wrong > 0 {
		t.Errorf("%d of %d modules are wrong", wrong, len(m)*len(m))
	}
}

func TestRunsComeInPairs(t *testing.T) {
	for _, c := range []struct {
		modules string
		want    string
	}{{"##.#", "[2 1 1 4]"}, {".##", "[0 1 2 3]"}, {"#.", "[1 1]"}, {"...", "[0 3]"}} {
		var row []bool
		for _, r := range c.modules {
			row = append(row, r == '#')
		}
		if got := fmt.Sprint(runsOf(row)); got != c.want {
			t.Errorf("%s: %s, want %s", c.modules, got, c.want)
		}
	}
}
