package xlsx_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
	"ohmledger/report/internal/specimen"
)

// delivery is a lot of fifty cells in two parts, graded, sampled, grouped and with forecasts.
func delivery() *health.Assessment { return deliveryOf(50) }

func deliveryOf(cells int) *health.Assessment {
	a := thinned(specimen.Lot(cells, 5), 3)
	j := a.Job
	j.GroupBy = "module"
	j.Grades = []job.Grade{
		{Name: "A", Limits: []job.Limit{{Quantity: job.ChargeTransferGrowth, Side: job.Max, Bound: 1.45}, {Quantity: job.CapacityRetention, Side: job.Min, Bound: 0.85}}},
		{Name: "B*", Limits: []job.Limit{{Quantity: job.ChargeTransferGrowth, Side: job.Max, Bound: 1.7}}},
		{Name: `>"C"`, Limits: []job.Limit{{Quantity: job.ChargeTransferGrowth, Side: job.Max, Bound: 2}, {Quantity: job.OhmicOhm, Side: job.Max, Bound: 0.024}}},
	}
	j.Sampling = &job.Sampling{Standard: "attributes", LotSize: 400, AQL: 10, Level: "II", Severity: "normal"}
	j.Grouping = &job.Grouping{Size: 7, Arrangement: "series", By: []job.Quantity{job.ChargeTransferOhm, job.OhmicOhm}, WithinGrade: true}
	for i := range a.Cells.Len() {
		c := a.Cells.At(i)
		c.Measurements[c.Latest].Row.Extra = map[string]string{"module": fmt.Sprintf("pallet %d", 2*i/cells+1)}
		for _, q := range health.LotQuantities(j) {
			v := report.Measured(&c.Measurements[c.Latest], q)
			c.Values = append(c.Values, health.QuantityValue{Quantity: q, Value: v, Own: v.StandardUncertainty()})
		}
		c.Grade = gradeOf(j, c)
		c.Grading = &health.Grading{Grade: c.Grade, Reason: "So it is.", Better: "A", Missed: []health.Shortfall{{Criterion: c.Criteria[0], By: 0.123}}}
		c.Trend = forecasts()
	}
	var members []health.LotCell
	for i := range a.Cells.Len() {
		members = append(members, health.LotCellOf(j, a.Cells.At(i)))
	}
	a.Lot = health.LotOf(j, members, nil)
	return a
}

// forecasts are two of every kind: one that meets its limit within an interval without end, and one that says why none does.
func forecasts() []health.Trend {
	course := &health.Course{Limit: job.Limit{Quantity: job.ChargeTransferGrowth, Side: job.Max, Bound: 2}, Points: make([]health.CoursePoint, 5),
		Laws: []health.CourseLaw{{Law: "linear", Weight: 0.75}, {Law: "power", Weight: 0.25}}, Trial: &health.ForecastTrial{Points: 3, Later: 2, Held: 1}}
	crossing := &health.Crossing{Value: 812, Lower95: 700, Upper95: math.Inf(1), WithShared: fit.Interval{Lower: 650, Upper: math.Inf(1)}}
	return []health.Trend{
		{Quantity: job.ChargeTransferGrowth, Against: "days", Law: "linear", Rate: fit.NewValue(0.001, 0.0001), Crosses: crossing, Course: course},
		{Quantity: job.OhmicGrowth, Against: "cycles", Law: "square root", Rate: fit.NewValue(1e-5, 1e-30), Reason: "The limit is far.", Course: course},
		{Quantity: job.CapacityRetention, Against: "days", Reason: "There are too few points.", Course: &health.Course{}},
	}
}

// gradeOf is a grade by JCGM 106:2012, clause 8.3.2, growths on their logarithm: the guarded rule of the specimen.
func gradeOf(j *job.Job, c *health.Cell) string {
	for _, g := range j.Grades {
		if !slices.ContainsFunc(g.Limits, func(l job.Limit) bool { return !within(j, c, l) }) {
			return g.Name
		}
	}
	return ""
}

func within(j *job.Job, c *health.Cell, l job.Limit) bool {
	v := report.Measured(&c.Measurements[c.Latest], l.Quantity)
	y, u, bound := v.Estimate(), v.StandardUncertainty(), l.Bound
	if strings.HasSuffix(string(l.Quantity), "_growth") {
		y, u, bound = math.Log(y), v.Relative(), math.Log(bound)
	}
	room := bound - y
	if l.Side == job.Min {
		room = -room
	}
	if j.DecisionRule.Kind == job.Simple {
		return v.Known() && room >= 0
	}
	return v.Known() && room >= j.DecisionRule.CoverageFactor*u
}

// column is a column of a sheet by its head, from the row after it on.
func column(t *testing.T, f *excelize.File, sheet, head string, headRow int) (list []string) {
	t.Helper()
	rows, err := f.GetRows(sheet)
	if err != nil {
		t.Fatal(err)
	}
	at := slices.Index(rows[headRow-1], head)
	if at < 0 {
		t.Fatalf("%s has no column %q: %q", sheet, head, rows[headRow-1])
	}
	for _, row := range rows[headRow:] {
		if at >= len(row) {
			return list
		}
		list = append(list, row[at])
	}
	return list
}

// A lot's sheets say what the lot says.
func TestLotSheets(t *testing.T) {
	a := delivery()
	f := opened(t, workbook(t, a))
	l := a.Lot
	if n := len(l.Quantities) * (1 + len(l.Groups)); len(column(t, f, "Lot", "Mean", 3)) != n || len(l.Groups) != 2 {
		t.Errorf("%d rows of the lot's statistics, want %d", len(column(t, f, "Lot", "Mean", 3)), n)
	}
	held(t, "mean", column(t, f, "Lot", "Mean", 3)[0], l.Quantities[0].Summary.Mean*scaleIn(l.Quantities[0].Quantity))
	held(t, "q05", column(t, f, "Lot", "5 % below", 3)[0], l.Quantities[0].Summary.Quantiles[1].Value*scaleIn(l.Quantities[0].Quantity))
	held(t, "tolerance", column(t, f, "Distributions", "Tolerance interval to", 3)[1], l.Quantities[0].Fits[1].Tolerance.Upper*scaleIn(l.Quantities[0].Quantity))
	held(t, "share", column(t, f, "Spread and risks", "Measuring's share of the variance", 3)[0], l.Quantities[0].Separation.Share)
	if got := column(t, f, "Grades", "Grade as issued", 3); got[0] != a.Cells.At(0).Grade || len(got) != 50 {
		t.Errorf("%d grades, the first %q", len(got), got[0])
	}
	if got := column(t, f, "Matched groups", "Group", 3); got[0] != "1" || len(got) < len(l.Grouping.Groups) {
		t.Errorf("%q", got)
	}
	if got := len(column(t, f, "Group members", "Cell", 3)); got != 50 {
		t.Errorf("%d cells in groups or left over, want 50", got)
	}
	crossings := column(t, f, "Forecasts", "Limit reached at", 3)
	held(t, "crossing", crossings[0], 812)
	if got := column(t, f, "Forecasts", "to (95 %)", 3); got[0] != "not in sight" || crossings[1] != "" {
		t.Errorf("%q, %q", got[0], crossings[1])
	}
	if got := column(t, f, "Forecasts", "Unit of the rate", 3); got[0] != "per day" || got[1] != "per cycle" {
		t.Errorf("%q", got[:2])
	}
}

// scaleIn is what values of a quantity are multiplied by in a workbook of milliohms.
func scaleIn(q job.Quantity) float64 {
	if strings.HasSuffix(string(q), "_ohm") {
		return 1000
	}
	return 1
}

func held(t *testing.T, what, got string, want float64) {
	t.Helper()
	if x, err := strconv.ParseFloat(got, 64); err != nil || math.Abs(x-want) > 1e-12*math.Abs(want) {
		t.Errorf("%s: %q, want %v", what, got, want)
	}
}

// Changed limits, grade limits, factor and rule give the grades, their counts and the decision on the delivery that a
// report with them would have.
func TestGradesFollowTheInputs(t *testing.T) {
	if testing.Short() {
		t.Skip("nothing runs side by side in it")
	}
	content := workbook(t, delivery())
	for _, rule := range specimen.Rules {
		f := opened(t, content)
		a := delivery()
		a.Job.DecisionRule = rule
		a.Job.DecisionRule.CoverageFactor = 1.5
		set(t, f, "D3", string(rule.Kind))
		set(t, f, "D4", 1.5)
		changeGrades(t, f, a.Job)
		checkGrades(t, string(rule.Kind), a, func(sheet, place string) string { return calculated(t, f, sheet, place) })
	}
}

// changeGrades makes the first grade stricter and the second more lenient, in the workbook and in a job.
func changeGrades(t *testing.T, f *excelize.File, j *job.Job) {
	const firstGradeRow = 8 + 6 + 2 + 4 + 3
	j.Grades[0].Limits[0].Bound, j.Grades[1].Limits[0].Bound = 1.3, 1.9
	set(t, f, fmt.Sprintf("D%d", firstGradeRow), 1.3)
	set(t, f, fmt.Sprintf("D%d", firstGradeRow+2), 1.9)
}

func checkGrades(t *testing.T, label string, a *health.Assessment, value func(sheet, place string) string) {
	t.Helper()
	counts := map[string]int{}
	for i := range a.Cells.Len() {
		want := gradeOf(a.Job, a.Cells.At(i))
		counts[want]++
		if want == "" {
			want = "none"
		}
		if label != "LibreOffice" && i%3 > 0 {
			continue // the library is slow
		}
		for _, place := range []string{"Grades!C" + strconv.Itoa(4+i), "Summary!C" + strconv.Itoa(8+i)} {
			sheet, at, _ := strings.Cut(place, "!")
			if got := value(sheet, at); got != want {
				t.Errorf("%s: %s is %q, want %q", label, place, got, want)
			}
		}
	}
	const firstCountRow = 8 + 6 + 2 + 4 + 3 + 5 + 3
	for i, name := range []string{"A", "B*", `>"C"`, ""} {
		if got := value("Limits", fmt.Sprintf("C%d", firstCountRow+i)); got != strconv.Itoa(counts[name]) && !(strings.Contains(name, "*") && label != "LibreOffice") {
			t.Errorf("%s: %s cells of grade %q, want %d", label, got, name, counts[name])
		}
	}
	if len(counts) < 3 {
		t.Errorf("%s: only grades %v are tried", label, counts)
	}
}

// The decision on a delivery follows the verdicts.
func TestDecisionOnTheDeliveryFollows(t *testing.T) {
	if testing.Short() {
		t.Skip("nothing runs side by side in it")
	}
	a := delivery()
	f := opened(t, workbook(t, a))
	if got := calculated(t, f, "Acceptance sampling", "B4"); got != map[health.Acceptance]string{health.Accepted: "accepted", health.Rejected: "rejected"}[a.Lot.Sampling.Decision] {
		t.Errorf("as issued %q, want %v (%s)", got, a.Lot.Sampling.Decision, a.Lot.Sampling.Reason)
	}
	for bound, want := range map[float64]string{1.01: "rejected", 9.0: "accepted"} {
		for row := 8; row < 14; row++ { // upper limits far up, lower ones far down, and then the first
			set(t, f, fmt.Sprintf("D%d", row), map[bool]float64{true: -1e6, false: 1e6}[row == 11 || row == 13])
		}
		set(t, f, "D8", bound)
		if got := calculated(t, f, "Acceptance sampling", "B4"); got != want {
			t.Errorf("with a limit of %v %q, want %q", bound, got, want)
		}
	}
}

// resultsOf reads the criteria of results.json.
func resultsOf(t *testing.T, a *health.Assessment) (cells []struct{ Criteria []map[string]any }) {
	t.Helper()
	var b bytes.Buffer
	if err := report.WriteResults(&b, document(t, a)); err != nil {
		t.Fatal(err)
	}
	var results struct {
		Cells []struct{ Criteria []map[string]any }
	}
	if err := json.Unmarshal(b.Bytes(), &results); err != nil {
		t.Fatal(err)
	}
	return results.Cells
}

// checkResults holds the criteria of a workbook that another program has worked out against results.json.
func checkResults(t *testing.T, a *health.Assessment, f *excelize.File) {
	t.Helper()
	keys := map[string]string{"Value": "value", "Expanded uncertainty U": "expanded_uncertainty", "Limit": "limit",
		"Acceptance limit": "acceptance_limit", "Probability of conformity": "probability_of_conformity", "Verdict": "verdict"}
	cells := resultsOf(t, a)
	for head, key := range keys {
		got, row := column(t, f, "Criteria", head, 3), 0
		for i, c := range cells {
			for k, criterion := range c.Criteria {
				want := criterion[key]
				if x, isNumber := want.(float64); isNumber {
					if key != "probability_of_conformity" {
						x *= scaleIn(a.Job.Limits[k].Quantity)
					}
					want = strconv.FormatFloat(x, 'g', -1, 64)
				}
				if want != nil && !same(got[row], fmt.Sprint(want)) {
					t.Errorf("%s, %s: %s is %q there, results.json says %v", a.Cells.At(i).Name, a.Job.Limits[k].Quantity, key, got[row], want)
				}
				row++
			}
		}
	}
}

// otherLimit is a limit of the charge-transfer growth other than the specimen's.
const otherLimit = 1.6

// changedLimits is the workbook of a lot with other limits typed into it; the job follows, but for its first limit.
func changedLimits(t *testing.T, a *health.Assessment) []byte {
	t.Helper()
	f := opened(t, workbook(t, a))
	set(t, f, "D3", "four-way")
	a.Job.DecisionRule.Kind = job.FourWay
	changeGrades(t, f, a.Job)
	set(t, f, "D8", otherLimit)
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// checkChangedLimits holds what another program works out with other limits against what they make of the cells.
func checkChangedLimits(t *testing.T, a *health.Assessment, other *excelize.File) {
	t.Helper()
	value := func(sheet, place string) string { got, _ := other.GetCellValue(sheet, place); return got }
	checkGrades(t, "LibreOffice", a, value)
	counts := map[string]int{}
	for i := range a.Cells.Len() {
		counts[value("Summary", "B"+strconv.Itoa(8+i))]++
		want := fourWay(a, &a.Cells.At(i).Criteria[0], otherLimit)
		if got := value("Criteria", "Q"+strconv.Itoa(4+6*i)); got != want {
			t.Errorf("%s: %q, want %q", a.Cells.At(i).Name, got, want)
		}
	}
	if got := value("Summary", "B5"); !strings.HasPrefix(got, "CHANGED") {
		t.Errorf("the summary says %q", got)
	}
	for v, place := range map[string]string{"pass": "D3", "conditional pass": "F3", "conditional fail": "H3", "fail": "L3"} {
		if got := value("Summary", place); got != strconv.Itoa(counts[v]) {
			t.Errorf("%s of %d: the summary counts %s", v, counts[v], got)
		}
	}
}

// fourWay is the statement of ILAC-G8:09/2019, 4.2.3, on the logarithm.
func fourWay(a *health.Assessment, c *health.Criterion, limit float64) string {
	room, guard := math.Log(limit)-math.Log(c.Value.Estimate()), a.Job.DecisionRule.CoverageFactor*c.Value.Relative()
	switch {
	case room >= guard:
		return "pass"
	case room >= 0:
		return "conditional pass"
	case room >= -guard:
		return "conditional fail"
	}
	return "fail"
}

// A capability index stands with the distribution that describes the lot, and with no other.
func TestCapabilityNeedsItsDistribution(t *testing.T) {
	a := delivery()
	f := opened(t, workbook(t, a))
	describes, indices := column(t, f, "Distributions", "Describes the lot", 3), column(t, f, "Distributions", "Cpk", 3)
	any := false
	for i, x := range indices {
		any = any || x != ""
		if x != "" && describes[i] != "yes" {
			t.Errorf("row %d: %q of a distribution that describes nothing: %q", i, x, describes[i])
		}
	}
	if !any {
		t.Error("no index")
	}
}
