package figure

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"gonum.org/v1/plot"

	"ohmledger/report/notation"
)

// labels are those of ticks in order of value, joined.
func labels(ticks []plot.Tick) string {
	ticks = slices.Clone(ticks)
	slices.SortStableFunc(ticks, func(a, b plot.Tick) int {
		if a.Value < b.Value {
			return -1
		}
		return 1
	})
	var list []string
	for _, t := range ticks {
		if t.Label != "" {
			list = append(list, t.Label)
		}
	}
	return strings.Join(list, " ")
}

func TestSteps(t *testing.T) {
	// Common practice: steps of 1, 2 or 5 times a power of ten.
	for _, c := range []struct {
		span float64
		most int
		want float64
	}{
		{10, 10, 1}, {10, 9, 2}, {10, 5, 2}, {10, 4, 5}, {10, 2, 5}, {10, 1, 10},
		{0.3, 3, 0.1}, {0.3, 2, 0.2}, {7, 10, 1}, {1e-9, 4, 5e-10}, {1e12, 3, 5e11}, {0, 5, 1}, {math.NaN(), 5, 1}, {math.Inf(1), 5, 1},
	} {
		if got := niceStep(c.span, c.most); math.Abs(got/c.want-1) > 1e-12 {
			t.Errorf("span %v in at most %d: %v, want %v", c.span, c.most, got, c.want)
		}
	}
}

func TestStepLabels(t *testing.T) {
	en, de := notation.NotationOf("en"), notation.NotationOf("de")
	for _, c := range []struct {
		low, high float64
		most      int
		n         notation.Notation
		want      string
	}{
		{0, 1, 5, en, "0 0.2 0.4 0.6 0.8 1.0"},
		{0, 1, 5, de, "0 0,2 0,4 0,6 0,8 1,0"},
		{-1.25, 1.25, 5, en, "−1.0 −0.5 0 0.5 1.0"},
		{-20, 20, 4, en, "−20 −10 0 10 20"},
		{0.95, 2.1, 5, en, "1.0 1.5 2.0"},
		{9990, 10015, 5, en, spaced("9990 9995 10_000 10_005 10_010 10_015")},
		{-0.3, 0.3, 6, en, "−0.3 −0.2 −0.1 0 0.1 0.2 0.3"},
		{2e6, 6e6, 4, en, "2·10⁶ 3·10⁶ 4·10⁶ 5·10⁶ 6·10⁶"},
		{1e-9, 3e-9, 4, en, "1.0·10⁻⁹ 1.5·10⁻⁹ 2.0·10⁻⁹ 2.5·10⁻⁹ 3.0·10⁻⁹"},
		{-4.1865e-5, -4.1855e-5, 4, en, "−4.1865·10⁻⁵ −4.1860·10⁻⁵ −4.1855·10⁻⁵"},
	} {
		s := steps{niceStep(c.high-c.low, c.most), c.n}
		if got := labels(s.Ticks(c.low, c.high)); got != c.want {
			t.Errorf("%v to %v: %q, want %q", c.low, c.high, got, c.want)
		}
	}
}

func TestStepsHaveFewPlainTicksBetween(t *testing.T) {
	for step, want := range map[float64]int{1: 5, 2: 4, 5: 5, 0.2: 4, 0.001: 5, 20: 4} {
		ticks := steps{step, notation.Notation{}}.Ticks(0, step*0.999)
		if len(ticks) != want {
			t.Errorf("step %v: %d ticks before the next label, want %d", step, len(ticks), want)
		}
	}
}

// Whatever the range, ticks are few, in order, inside it, and labels differ.
func TestStepsLaw(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	for range 20000 {
		low := random.NormFloat64() * math.Pow(10, float64(random.IntN(60)-30))
		e := extent{low, low + math.Abs(random.NormFloat64())*math.Pow(10, float64(random.IntN(60)-30))}.padded(0.02)
		s := steps{niceStep(e.span(), 4+random.IntN(10)), notation.Notation{}}
		ticks := s.Ticks(e.low, e.high)
		seen := map[string]bool{}
		labelled := 0
		for i, tick := range ticks {
			if tick.Value < e.low-1e-5*e.span() || tick.Value > e.high+1e-5*e.span() {
				t.Fatalf("%v: tick at %v", e, tick.Value)
			}
			if i > 0 && !(tick.Value > ticks[i-1].Value) {
				t.Fatalf("%v: ticks at %v and %v", e, ticks[i-1].Value, tick.Value)
			}
			if tick.Label != "" {
				labelled++
				seen[tick.Label] = true
			}
		}
		if labelled < 1 || labelled > 15 || len(ticks) > 90 {
			t.Fatalf("%v: %d labels, %d ticks", e, labelled, len(ticks))
		}
		if len(seen) != labelled {
			t.Fatalf("%v: labels %q", e, labels(ticks))
		}
	}
}

func TestDecades(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		every     int
		want      string
	}{
		{0.01, 10000, 1, "10⁻² 10⁻¹ 10⁰ 10¹ 10² 10³ 10⁴"},
		{0.009, 11000, 2, "10⁻² 10⁰ 10² 10⁴"},
		{0.5, 20, 1, "10⁰ 10¹"},
		{150, 900, 1, "200 500"},
		{15, 900, 1, "20 50 100 200 500"},
		{0.02, 0.08, 1, "0.02 0.05"},
	} {
		if got := labels(decades{notation.Notation{}, c.every}.Ticks(c.low, c.high)); got != c.want {
			t.Errorf("%v to %v: %q, want %q", c.low, c.high, got, c.want)
		}
	}
	for _, tick := range (decades{notation.Notation{}, 1}).Ticks(1, 1000) {
		if m := tick.Value / math.Pow(10, math.Floor(math.Log10(tick.Value)+1e-9)); math.Abs(m-math.Round(m)) > 1e-9 {
			t.Errorf("tick at %v", tick.Value)
		}
	}
}

func TestDates(t *testing.T) {
	day := func(s string) float64 {
		v, err := time.Parse("2006-01-02 15:04", s)
		if err != nil {
			t.Fatal(err)
		}
		return onAxis(v)
	}
	for _, c := range []struct {
		low, high string
		most      int
		want      string
	}{
		{"2024-03-11 00:00", "2026-03-11 00:00", 7, "2024-07 2025-01 2025-07 2026-01"},
		{"2024-03-11 00:00", "2026-03-11 00:00", 10, "2024-04 2024-07 2024-10 2025-01 2025-04 2025-07 2025-10 2026-01"},
		{"2020-06-30 00:00", "2026-03-11 00:00", 8, "2021 2022 2023 2024 2025 2026"},
		{"1999-06-30 00:00", "2026-03-11 00:00", 6, "2000 2005 2010 2015 2020 2025"},
		{"2024-01-30 00:00", "2024-04-02 00:00", 4, "2024-02 2024-03 2024-04"},
		{"2024-02-26 00:00", "2024-03-19 00:00", 5, "2024-02-26 2024-03-04 2024-03-11 2024-03-18"}, // Mondays
		{"2024-02-28 00:00", "2024-03-01 12:00", 5, "2024-02-28 2024-02-29 2024-03-01"},
		{"2024-02-28 07:50", "2024-02-28 11:10", 5, "08:00 09:00 10:00 11:00"},
	} {
		if got := labels(dates{c.most, notation.Notation{}}.Ticks(day(c.low), day(c.high))); got != c.want {
			t.Errorf("%s to %s: %q, want %q", c.low, c.high, got, c.want)
		}
	}
	for want, ends := range map[string][2]string{
		"07/2024 01/2025 07/2025 01/2026":                                  {"2024-03-11 00:00", "2026-03-11 00:00"},
		"28.02.2024 29.02.2024 01.03.2024":                                 {"2024-02-28 00:00", "2024-03-01 12:00"},
		"28.02. 06:00 28.02. 12:00 28.02. 18:00 29.02. 00:00 29.02. 06:00": {"2024-02-28 01:00", "2024-02-29 08:00"},
	} {
		if got := labels(dates{7, notation.NotationOf("de")}.Ticks(day(ends[0]), day(ends[1]))); got != want {
			t.Errorf("German, %s to %s: %q, want %q", ends[0], ends[1], got, want)
		}
	}
	if ticks := (dates{most: 8}).Ticks(-719162, 800000); len(ticks) == 0 || len(ticks) > maxTicks {
		t.Errorf("four thousand years: %d ticks", len(ticks))
	}
}

func TestExtentsSkipWhatIsNoNumber(t *testing.T) {
	e := emptyExtent().with(math.NaN(), math.Inf(1), 3, math.Inf(-1), -2, 1e300)
	if e != (extent{-2, 3}) {
		t.Errorf("%v", e)
	}
	for _, e := range []extent{emptyExtent(), {0, 0}, {5, 5}, {-1e90, -1e90}, {1, 1 + 1e-15}} {
		if p := e.padded(0.1); !(p.low < p.high) || math.IsInf(p.span(), 0) {
			t.Errorf("%v padded is %v", e, p)
		}
		if p := e.paddedLog(0.1); !(p.low < p.high) || p.low <= 0 || math.IsInf(p.high, 0) {
			t.Errorf("%v padded on a logarithm is %v", e, p)
		}
	}
}

func TestShortNumbers(t *testing.T) {
	for _, c := range []struct {
		v    float64
		s    notation.Scale
		want string
	}{
		{2, notation.Scale{}, "2"}, {1.25, notation.Scale{}, "1.25"}, {0.035, notation.Scale{Symbol: "mΩ", Power: -3}, "35~mΩ"}, {-0.5, notation.Scale{}, "−0.5"},
		{1.23456789, notation.Scale{}, "1.235"}, {119.346767673, notation.Scale{Symbol: "mΩ", Power: -3}, "119_347~mΩ"}, {1e-30, notation.Scale{Symbol: "pΩ", Power: -12}, "1.000·10⁻¹⁸~pΩ"},
		{123456.7891, notation.Scale{}, "123_457"}, {1e9 / 3, notation.Scale{}, "3.333·10⁸"},
	} {
		if got := (notation.Notation{}).Short(c.v, c.s); got != spaced(c.want) {
			t.Errorf("%v: %q, want %q", c.v, got, spaced(c.want))
		}
	}
}

// spaced writes the narrow no-break spaces between groups of digits for _, and those before units for ~.
func spaced(s string) string { return strings.NewReplacer("_", "\u202f", "~", "\u00a0").Replace(s) }
