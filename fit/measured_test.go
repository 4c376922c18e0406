package fit

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/stat"

	"ohmledger/fit/spectrum"
)

// openData reads one job of open measured data, cell by cell in the table's order; the state of charge is part
// of a cell's name, because spectra at different states are not comparable. See DEVELOPERS.md for the data.
func openData(t testing.TB, job string) (names []string, cells [][]Measured) {
	t.Helper()
	root := os.Getenv("OHMLEDGER_DATA")
	if root == "" {
		root = "../../shared/data"
	}
	f, err := os.Open(filepath.Join(root, job, "measurements.csv"))
	if err != nil {
		t.Skipf("open measured data not at hand (set OHMLEDGER_DATA to its folder): %v", err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for i, h := range rows[0] {
		column[h] = i
	}
	place := map[string]int{}
	for _, r := range rows[1:] {
		name := r[column["cell"]] + " at " + r[column["soc_percent"]] + " %"
		at, seen := place[name]
		if !seen {
			at = len(cells)
			place[name] = at
			names, cells = append(names, name), append(cells, nil)
		}
		data, err := os.ReadFile(filepath.Join(root, job, r[column["file"]]))
		if err != nil {
			t.Fatal(err)
		}
		s, err := spectrum.Read(r[column["file"]], data, spectrum.Columns{})
		if err != nil {
			t.Fatal(err)
		}
		c, err := strconv.ParseFloat(r[column["temperature_c"]], 64)
		if err != nil {
			t.Fatal(err)
		}
		cells[at] = append(cells[at], Measured{Spectrum: s, TemperatureC: c, RelativeNoise: 0.002, AbsoluteNoiseOhm: 2e-5})
	}
	return names, cells
}

// scatterOf is the robust standard deviation of ln v about the mean of its two neighbours, steps of more
// than a fifth (a cell seated anew in its holder) aside.
func scatterOf(v []float64) float64 {
	var d []float64
	for i := 1; i+1 < len(v); i++ {
		x := math.Abs(math.Log(v[i])-(math.Log(v[i-1])+math.Log(v[i+1]))/2) / math.Sqrt(1.5)
		if x < 0.2 {
			d = append(d, x)
		}
	}
	return median(d) / 0.6745
}

// matches says how the stated relative uncertainties are off what values scatter by, by more than a factor of three; nothing
// where they are not.
func matches(stated, values []float64) string {
	if r := median(stated) / scatterOf(values); r > 3 || r < 1.0/3 {
		return fmt.Sprintf(": stated uncertainty is %.2f times the scatter", r)
	}
	return ""
}

func resistances(h *History, e Element) (value, relative []float64) {
	for _, r := range h.Results {
		if v := r.Resistance(e); v.Known() {
			value, relative = append(value, v.Estimate()), append(relative, v.Relative())
		}
	}
	return value, relative
}

// Coin cells to the end of life (Y. Zhang et al., Nature Communications 11 (2020) 1706): results repeat from
// neighbour to neighbour, the stated uncertainty matches that within a factor of three, nothing jumps.
func TestCoinCellsToEndOfLife(t *testing.T) {
	names, cells := openData(t, "coin-25c")
	for k, cell := range cells {
		h := Cell(cell)
		transfer, u := resistances(h, ChargeTransfer)
		ohmic, _ := resistances(h, Ohmic)
		if len(transfer) < len(cell)-2 {
			t.Errorf("%s: charge transfer resolved in %d of %d", names[k], len(transfer), len(cell))
		}
		st, so := scatterOf(transfer), scatterOf(ohmic)
		t.Logf("%s: %s; neighbours scatter by %.2f %% (charge transfer, stated %.2f %%) and %.2f %% (ohmic)", names[k], h.Choice, 100*st, 100*median(u), 100*so)
		if st > 0.01 || so > 0.004 {
			t.Errorf("%s: neighbours scatter by %.2f %% and %.2f %%", names[k], 100*st, 100*so)
		}
		if sum, us := resistances(h, Polarisation); scatterOf(sum) > 0.01 || matches(us, sum) != "" {
			t.Errorf("%s: the arcs' sum scatters by %.2f %%%s", names[k], 100*scatterOf(sum), matches(us, sum))
		}
		if off := matches(u, transfer); off != "" {
			t.Errorf("%s%s", names[k], off)
		}
		for i := 1; i < len(transfer); i++ {
			if step := math.Abs(math.Log(transfer[i] / transfer[i-1])); step > math.Log(1.25) {
				t.Errorf("%s: charge transfer steps by a factor of %.2f at measurement %d", names[k], math.Exp(step), i)
			}
		}
	}
}

// A cylindrical cell from 25 to −20 °C (P. Kollmeyer, 2018): charge transfer follows one activation energy, and the
// arcs are as wide as a ruler on the plot says (measured from crossing to valley at 50 % state of charge).
func TestCylindricalCellInTheCold(t *testing.T) {
	names, cells := openData(t, "cylindrical-temperature")
	ruler := map[float64]float64{25: 0.00745, 10: 0.0198, 0: 0.047, -10: 0.109, -20: 0.285}
	for k, cell := range cells {
		h := Cell(cell)
		var x, y []float64
		for i, r := range h.Results {
			if !r.ChargeTransfer.Known() {
				t.Errorf("%s at %g °C: %s", names[k], cell[i].TemperatureC, r.Unresolved[ChargeTransfer])
				continue
			}
			x = append(x, 1/(8.31446261815324e-3*(cell[i].TemperatureC+273.15)))
			y = append(y, math.Log(r.ChargeTransfer.Estimate()))
			if names[k] == "P-soc50 at 50.0 %" {
				width := r.Polarisation.Estimate()
				if f := width / ruler[cell[i].TemperatureC]; f < 0.9 || f > 1.35 {
					t.Errorf("%s at %g °C: arcs %.4g Ω, the ruler says %.4g Ω", names[k], cell[i].TemperatureC, width, ruler[cell[i].TemperatureC])
				}
			}
		}
		energy, deviation, largest := line(x, y)
		t.Logf("%s: %s; %.1f kJ/mol, ln R off the line by %.3f, at most %.3f", names[k], h.Choice, energy, deviation, largest)
		if energy < 45 || energy > 58 || deviation > 0.1 || largest > 0.125 {
			t.Errorf("%s: activation energy %.1f kJ/mol, ln R off the line by %.3f, at most %.3f", names[k], energy, deviation, largest)
		}
	}
}

// line is the slope of the least-squares line, the root mean square of the residuals and the largest.
func line(x, y []float64) (slope, deviation, largest float64) {
	a, b := stat.LinearRegression(x, y, nil, false)
	var sum float64
	for i := range x {
		r := y[i] - a - b*x[i]
		sum += r * r
		largest = max(largest, math.Abs(r))
	}
	return b, math.Sqrt(sum / float64(len(x))), largest
}

// Repeat runs of two cylindrical cells (E. Buchicchio et al., 2022): contact offsets of milliohms move the ohmic
// resistance, the arc repeats from run to run.
func TestRepeatRuns(t *testing.T) {
	names, cells := openData(t, "cylindrical-repeat")
	for k, cell := range cells {
		h := Cell(cell)
		for i, r := range h.Results {
			if slices.ContainsFunc(r.Doubts, func(d Doubt) bool { return d.Code == "arc-not-closed" }) {
				t.Errorf("%s: the arc of run %d is called open", names[k], i)
			}
		}
		arc, u := resistances(h, Polarisation)
		ohmic, _ := resistances(h, Ohmic)
		t.Logf("%s: %s; arc scatters by %.2f %% (stated %.2f %%), ohmic by %.2f %%", names[k], h.Choice, 100*scatterOf(arc), 100*median(u), 100*scatterOf(ohmic))
		if len(arc) < len(cell) || scatterOf(arc) > 0.035 || matches(u, arc) != "" {
			t.Errorf("%s: arc resolved in %d of %d runs, scatters by %.2f %%%s", names[k], len(arc), len(cell), 100*scatterOf(arc), matches(u, arc))
		}
	}
}

func BenchmarkMeasuredHistories(b *testing.B) {
	_, cells := openData(b, "coin-25c")
	n := 0
	for b.Loop() {
		for _, cell := range cells {
			Cell(cell)
			n += len(cell)
		}
	}
	b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "spectra/s")
}
