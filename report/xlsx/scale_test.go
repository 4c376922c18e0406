package xlsx_test

import (
	"cmp"
	"os"
	"regexp"
	"runtime/debug"
	"strconv"
	"testing"
	"time"

	"ohmledger/health"
	"ohmledger/report/internal/specimen"
	"ohmledger/report/xlsx"
)

// many is the assessment of so many cells with eight measurements each, without their points, which are the reader's
// load and not the writer's.
func many(cells int) *health.Assessment {
	var a *health.Assessment
	var list []health.Cell
	const batch = 100
	for first := 0; first < cells; first += batch {
		next := specimen.Lot(min(batch, cells-first), 8)
		for i, c := range next.Cells.All() {
			c.Name = "LOT-" + strconv.Itoa(100001+first+i)
			for k := range c.Measurements {
				m := &c.Measurements[k]
				m.Spectrum, m.Fit.Fitted, m.Fit.Residuals = nil, nil, nil
			}
			list = append(list, *c)
		}
		a = cmp.Or(a, next)
	}
	a.Cells = health.CellsOf(list)
	return a
}

var highest = regexp.MustCompile(`VmHWM:\s+(\d+) kB`)

// peak is the most memory that the process has had since the last call, in bytes; 0 where the system does not say.
func peak() int {
	status, _ := os.ReadFile("/proc/self/status")
	_ = os.WriteFile("/proc/self/clear_refs", []byte("5"), 0) // proc(5): resets the peak
	if found := highest.FindSubmatch(status); found != nil {
		n, _ := strconv.Atoi(string(found[1]))
		return n << 10
	}
	return 0
}

// TestScale holds the writer to 10,000 measurements in 5 s and 60 MB beside the document on two cores.
func TestScale(t *testing.T) {
	if testing.Short() {
		t.Skip("10,000 measurements take some seconds")
	}
	d := document(t, many(1250))
	debug.FreeOSMemory()
	peak()
	before := peak()
	start := time.Now()
	var n counter
	if err := xlsx.Write(&n, d); err != nil {
		t.Fatal(err)
	}
	took, most := time.Since(start), peak()
	t.Logf("%v, %d MB file; %d MB before, %d MB at most", took, n>>20, before>>20, most>>20)
	if most-before > 60e6 && !raced {
		t.Errorf("10,000 measurements took %d MB, of which %d MB are the document and the test", most>>20, before>>20)
	}
	if took > 15*time.Second { // thrice the aim, for machines that do other things too
		t.Errorf("10,000 measurements took %v", took)
	}
}

// BenchmarkWrite writes 20,000 measurements, whose document is in memory.
func BenchmarkWrite(b *testing.B) {
	d := document(b, many(2500))
	debug.FreeOSMemory()
	peak()
	peak()
	b.ReportAllocs()
	for b.Loop() {
		var n counter
		if err := xlsx.Write(&n, d); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(peak())/1e6, "MB-peak")
}
