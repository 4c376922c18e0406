package health

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"ohmledger/health/job"
)

// MIL-STD-105E, Table II-A, all 416 cells with their arrows followed, and Table I, all 105.
func TestAttributesTables(t *testing.T) {
	rows := published(t, "published", "milstd105e_single_normal_resolved.csv")
	var levels []string
	columns := map[string]int{}
	for _, row := range rows {
		if _, known := columns[row["aql"]]; !known {
			columns[row["aql"]] = len(columns)
			levels = append(levels, row["aql"])
		}
		got, ok := planAt(attributesPlans, row["code_letter"], columns[row["aql"]])
		if n, ac := parsed(t, row["n"]), parsed(t, row["ac"]); !ok || float64(got.size) != n || got.number != ac {
			t.Errorf("%s, AQL %s: %+v, want n %v, Ac %v", row["code_letter"], row["aql"], got, n, ac)
		}
	}
	if len(rows) != 416 || len(levels) != 26 {
		t.Fatalf("%d plans of %d quality levels", len(rows), len(levels))
	}
	for i, aql := range attributesAQL {
		if parsed(t, levels[i]) != aql {
			t.Errorf("column %d: %v, want %s", i, aql, levels[i])
		}
	}
	for _, row := range published(t, "published", "milstd105e_code_letters.csv") {
		from, err := strconv.Atoi(strings.FieldsFunc(row["lot_size"], func(r rune) bool { return r == '-' || r == '+' })[0])
		if err != nil {
			t.Fatal(err)
		}
		for _, level := range attributesLevels {
			if got := codeLetter(attributesLetters, attributesLevels, from, level); got != row[level] {
				t.Errorf("lot %d, level %s: %s, want %s", from, level, got, row[level])
			}
		}
	}
}

// The table's own law: along a diagonal, code letter index plus quality level index, the acceptance number is the same.
func TestAttributesDiagonals(t *testing.T) {
	law := map[int]float64{14: 0, 17: 1, 18: 2, 19: 3, 20: 5, 21: 7, 22: 10, 23: 14, 24: 21}
	for i, row := range attributesPlans {
		for j, plan := range strings.Fields(row.plans)[:len(attributesAQL)] {
			want, numbered := law[i+j]
			if got, err := strconv.ParseFloat(plan, 64); numbered != (err == nil) || numbered && got != want {
				t.Errorf("%s, AQL %v: %s, want %v", row.letter, attributesAQL[j], plan, want)
			}
		}
	}
}

// Spot values of MIL-STD-105E, arrows included: an arrow changes the sample size as well.
func TestAttributesPlans(t *testing.T) {
	for _, c := range []struct {
		lot     int
		level   string
		aql     float64
		letter  string
		n, most int
	}{
		{1000, "II", 1.0, "J", 80, 2}, {1000, "II", 0.65, "J", 80, 1}, {1000, "II", 2.5, "J", 80, 5}, {1000, "II", 0.10, "J", 125, 0},
		{500, "II", 1.0, "H", 50, 1}, {100, "II", 4.0, "F", 20, 2}, {8, "II", 1.0, "A", 13, 0},
	} {
		letter := codeLetter(attributesLetters, attributesLevels, c.lot, c.level)
		p, ok := attributesPlan(letter, c.aql)
		if letter != c.letter || !ok || p.size != c.n || int(p.number) != c.most {
			t.Errorf("lot %d, level %s, AQL %v: %s %+v", c.lot, c.level, c.aql, letter, p)
		}
	}
}

// MIL-STD-105E, Table X, in percent nonconforming (Poisson), and exact binomial values.
func TestOperatingCharacteristic(t *testing.T) {
	k := poissonCharacteristic(125, 3)
	for i, want := range []float64{0.6586, 1.0931, 1.3958, 2.0283, 2.9376, 4.0875, 5.3446, 6.2029, 8.0361} {
		near(t, "K", k.table()[i].PercentNonconforming, want, 6e-5)
	}
	for _, c := range []struct {
		n, most    int
		at95, at10 float64
	}{{50, 1, 0.7107, 7.779}, {80, 2, 1.0221, 6.6529}} {
		oc := poissonCharacteristic(c.n, c.most)
		near(t, "95 %", 100*oc.qualityAt(0.95), c.at95, 6e-5)
		near(t, "10 %", 100*oc.qualityAt(0.10), c.at10, 6e-4)
	}
	b := binomialCharacteristic(125, 3)
	near(t, "binomial, 95 %", 100*b.qualityAt(0.95), 1.1003, 6e-5)
	near(t, "binomial, 50 %", 100*b.qualityAt(0.50), 2.9298, 6e-5)
	near(t, "binomial, 10 %", 100*b.qualityAt(0.10), 5.2663, 6e-5)
	near(t, "binomial at 1 %", b(0.01), 0.962551, 1e-6)
	near(t, "Poisson at 1 %", k(0.01), 0.961731, 1e-6)
}

// A lot drawn from without replacement: by counting, and towards the binomial law as the lot grows.
func TestHypergeometric(t *testing.T) {
	h := hypergeometricCharacteristic(10, 3, 0)
	near(t, "two of ten", h(0.2), 8.0*7*6/(10*9*8), 1e-12) // the three drawn are among the eight good ones
	near(t, "all inspected", hypergeometricCharacteristic(20, 20, 1)(0.1), 0, 1e-12)
	near(t, "all inspected, one allowed", hypergeometricCharacteristic(20, 20, 1)(0.05), 1, 1e-12)
	near(t, "endless", hypergeometricCharacteristic(10_000_000, 80, 2)(0.03), binomialCharacteristic(80, 2)(0.03), 1e-5)
	lot := finiteTable(h, 10)
	for _, p := range lot {
		if h(p.PercentNonconforming/100) < p.Acceptance || h(p.PercentNonconforming/100+0.1) >= p.Acceptance {
			t.Errorf("%+v", p)
		}
	}
}

// None of 13 nonconforming: upper 95 % limit 1 − 0.05^(1/13).
func TestUpperFraction(t *testing.T) {
	near(t, "0 of 13", upperFraction(0, 13, 0.95), 0.2058, 5e-5)
	near(t, "0 of 13", upperFraction(0, 13, 0.95), 1-math.Pow(0.05, 1.0/13), 1e-12)
	near(t, "all", upperFraction(5, 5, 0.95), 1, 0)
}

// Every characteristic falls from 1 to 0.
func TestCharacteristicsFall(t *testing.T) {
	for name, c := range map[string]characteristic{
		"binomial": binomialCharacteristic(80, 2), "poisson": poissonCharacteristic(80, 2),
		"hypergeometric": hypergeometricCharacteristic(200, 80, 2), "variables": variablesCharacteristic(20, 1.82),
	} {
		before := 1.0
		for _, p := range c.curve(0.5) {
			if p.Acceptance > before+1e-12 {
				t.Errorf("%s rises at %v %%", name, p.PercentNonconforming)
			}
			before = p.Acceptance
		}
		near(t, name, c(0), 1, 1e-12)
		if c(0.5) > 1e-3 {
			t.Errorf("%s: %v at one half", name, c(0.5))
		}
	}
}

// MIL-STD-414, example B-1: lot of 40, level IV, AQL 1 %, five values below an upper limit of 209. The standard prints s 8.81;
// 8.80 is exact. Its M is 3.33 %, which is the law's value for a k of 1.525; the printed k of 1.53 gives 3.23 %.
func TestVariablesExampleB1(t *testing.T) {
	letter := codeLetter(variablesLetters, variablesLevels, 40, "IV")
	plan, ok := variablesPlan(letter, 1.0, "normal")
	if letter != "D" || !ok || plan.size != 5 || plan.number != 1.53 {
		t.Fatalf("%s: %+v", letter, plan)
	}
	i := Inspection{Inspected: 5, Constant: plan.number, LargestPercent: 100 * fractionBeyond(plan.number, 5)}
	near(t, "M", i.LargestPercent, 3.33, 0.11)
	near(t, "M before rounding", 100*fractionBeyond(1.525, 5), 3.33, 0.01)
	l := InspectedLimit{Quantity: job.CapacityAh, Upper: 209, Lower: math.NaN()}
	l.measure(lotOf(job.CapacityAh, 197, 188, 184, 205, 201), 0)
	near(t, "mean", l.Mean, 195, 1e-12)
	near(t, "s", l.SD, 8.8034, 1e-4)
	l.judge(&i)
	near(t, "Q", l.IndexUpper, 1.59, 5e-3)
	near(t, "p", l.PercentUpper, 2.187, 0.02)
	near(t, "p at Q 1.59", 100*fractionBeyond(1.59, 5), 2.187, 5e-4)
	if l.Decision != Accepted {
		t.Errorf("%+v", l)
	}
}

// MIL-STD-414, Tables B-1 and B-2, form 1: every constant, arrows followed.
func TestVariablesTable(t *testing.T) {
	rows := published(t, "published", "milstd414_form1_k.csv")
	for _, row := range rows {
		plan, ok := variablesPlan(row["code_letter"], parsed(t, row["aql"]), row["inspection"])
		if k := parsed(t, row["k"]); !ok || plan.number != k || plan.size < int(parsed(t, row["n"])) {
			t.Errorf("%v: %+v", row, plan)
		}
	}
	if len(rows) != 16*(14+13) {
		t.Errorf("%d constants", len(rows))
	}
	if _, ok := variablesPlan("F", 0.04, "tightened"); ok {
		t.Error("a plan left of the table")
	}
	for _, c := range []struct {
		letter, severity string
		aql, k           float64
		n                int
	}{{"F", "normal", 1.0, 1.72, 10}, {"F", "tightened", 1.0, 1.84, 10}, {"D", "tightened", 1.0, 1.65, 5}, {"B", "normal", 1.0, 1.45, 4}, {"C", "normal", 0.10, 2.42, 15}} {
		if plan, ok := variablesPlan(c.letter, c.aql, c.severity); !ok || plan.number != c.k || plan.size != c.n {
			t.Errorf("%+v: %+v", c, plan)
		}
	}
}

// Form 1 and form 2 are one rule, and the estimate has no bias.
func TestFractionBeyond(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 9))
	const trials, n = 20_000, 7
	sum := 0.0
	for range trials {
		x := make([]float64, n)
		for i := range x {
			x[i] = random.NormFloat64()
		}
		mean, sd := stat.MeanStdDev(x, nil)
		sum += fractionBeyond((1.5-mean)/sd, n) / trials
	}
	near(t, "mean of the estimates", sum, 1-distuv.UnitNormal.CDF(1.5), 0.002)
	if !(fractionBeyond(1.54, 5) < fractionBeyond(1.53, 5)) {
		t.Error("the estimate does not fall with the distance")
	}
	near(t, "far inside", fractionBeyond(100, 5), 0, 0)
	near(t, "far outside", fractionBeyond(-100, 5), 1, 0)
}

// delivery is a job with a sampling plan, and a sample of so many cells that passed, failed or were not evaluated.
func delivery(lot int, aql float64, passed, failed, doubtful int) *Inspection {
	j := &job.Job{Sampling: &job.Sampling{Standard: "attributes", LotSize: lot, AQL: aql, Level: "II", Severity: "normal"}}
	var cells []LotCell
	for verdict, n := range []int{int(NotEvaluated): doubtful, int(Pass): passed, int(Fail): failed} {
		for range n {
			cells = append(cells, LotCell{Verdict: Verdict(verdict)})
		}
	}
	return inspection(j, cells)
}

// Lot 1000, AQL 1 %: 80 cells, 2 may fail.
func TestInspectionByAttributes(t *testing.T) {
	for _, c := range []struct {
		passed, failed, doubtful int
		decision                 Acceptance
		code                     string
	}{
		{80, 0, 0, Accepted, "lot-accepted"}, {78, 2, 0, Accepted, "lot-accepted"}, {77, 3, 0, Rejected, "lot-rejected"},
		{78, 1, 1, Accepted, "lot-accepted"}, {77, 2, 1, Undecided, "doubtful-cells-decide"}, {0, 0, 80, Undecided, "doubtful-cells-decide"},
		{73, 0, 0, Undecided, "sample-too-small"}, {70, 3, 0, Rejected, "lot-rejected"}, {93, 0, 0, Undecided, "sample-too-large"},
		{1000, 0, 0, Undecided, "sample-is-whole-lot"}, {1001, 0, 0, Undecided, "sample-exceeds-lot"},
	} {
		i := delivery(1000, 1.0, c.passed, c.failed, c.doubtful)
		if i.Decision != c.decision || i.Because.Code != c.code || i.SampleSize != 80 || i.Acceptance != 2 || i.CodeLetter != "J" {
			t.Errorf("%+v: %v, %+v", c, i.Decision, i.Because)
		}
	}
	i := delivery(1000, 1.0, 73, 0, 0)
	near(t, "missing", i.Because.Facts[3].Value, 7, 0)
	near(t, "producer's risk", i.ProducersRisk, 1-binomialCharacteristic(80, 2)(0.01), 1e-12)
	near(t, "limiting quality", i.LimitingPercent, 100*binomialCharacteristic(80, 2).qualityAt(0.1), 1e-9)
	if i.Law != Binomial || delivery(500, 1.0, 50, 0, 0).Law != Hypergeometric {
		t.Error("law of the characteristic")
	}
	if small := delivery(8, 1.0, 8, 0, 0); small.SampleSize != 8 || small.Decision != Accepted {
		t.Errorf("a lot smaller than its sample: %+v", small)
	}
}

func TestInspectionsThatHaveNoPlan(t *testing.T) {
	j := &job.Job{Sampling: &job.Sampling{Standard: "attributes", LotSize: 1000, AQL: 1, Level: "II", Severity: "tightened"}}
	if i := inspection(j, nil); i.Decision != Undecided || i.Because.Code != "severity-without-table" {
		t.Errorf("%+v", i)
	}
	j.Sampling.Severity, j.Sampling.AQL = "normal", 15
	if i := inspection(j, nil); i.Because.Code != "no-sampling-plan" {
		t.Errorf("%+v", i)
	}
	j.Sampling = &job.Sampling{Standard: "variables", LotSize: 40, AQL: 1, Level: "IV", Severity: "reduced"}
	if i := inspection(j, nil); i.Because.Code != "severity-without-table" {
		t.Errorf("%+v", i)
	}
}

func TestInspectionByVariables(t *testing.T) {
	j := &job.Job{Sampling: &job.Sampling{Standard: "variables", LotSize: 40, AQL: 1, Level: "IV", Severity: "normal"},
		Limits: []job.Limit{{Quantity: job.CapacityAh, Side: job.Max, Bound: 209}}}
	cells := lotOf(job.CapacityAh, 197, 188, 184, 205, 201)
	if i := inspection(j, cells); i.Decision != Accepted || i.Because.Code != "lot-accepted-by-variables" || i.SampleSize != 5 || i.Law != NoncentralT {
		t.Errorf("%+v", i)
	}
	if l := inspection(j, cells).Limits[0]; !math.IsNaN(l.PercentLower) || l.PercentBeyond() != l.PercentUpper || !(l.PercentUpper > 0) {
		t.Errorf("one limit: %+v", l)
	}
	j.Limits[0].Bound = 207
	if i := inspection(j, cells); i.Decision != Rejected || i.Because.Code != "quantity-rejected" {
		t.Errorf("%+v", i)
	}
	j.Limits = []job.Limit{{Quantity: job.CapacityAh, Side: job.Max, Bound: 215}, {Quantity: job.CapacityAh, Side: job.Min, Bound: 150}}
	if i := inspection(j, cells); i.Decision != Accepted || len(i.Limits) != 1 || !(i.Limits[0].IndexLower > 4) {
		t.Errorf("%+v", i)
	}
	cells[2].Values[0] = QuantityValue{Quantity: job.CapacityAh}
	if i := inspection(j, cells); i.Decision != Undecided || i.Because.Code != "sample-values-missing" || !math.IsNaN(i.Limits[0].PercentBeyond()) || !math.IsNaN(i.Limits[0].Mean) {
		t.Errorf("%+v", i)
	}
	if i := inspection(j, cells[:4]); i.Decision != Undecided || i.Because.Code != "sample-too-small" {
		t.Errorf("%+v", i)
	}
}
