package notation

import (
	"math"
	"testing"
	"time"

	"ohmledger/fit"
	"ohmledger/health/job"
)

// Narrow no-break spaces group digits, no-break spaces stand before units: tests write _ and ~ for them.
func spacedOut(s string) string {
	out := ""
	for _, r := range s {
		switch r {
		case '_':
			out += groupSpace
		case '~':
			out += NoBreak
		default:
			out += string(r)
		}
	}
	return out
}

func TestRoundingSP811(t *testing.T) {
	// NIST SP 811 (2008), B.7.1: the examples, which are ties or nearly so, and each case once more with
	// the next float64 below, which is no tie.
	cases := []struct {
		x      float64
		place  int
		want   string
		belowX string
	}{
		{6.9749515, -2, "6.97", "6.97"},
		{6.9749515, -3, "6.975", "6.975"},
		{6.9749515, -4, "6.9750", "6.9750"},
		{6.9749515, -6, "6.974_952", "6.974_951"},
		{6.9749505, -6, "6.974_950", "6.974_950"},
		{0.5, 0, "0", "0"},
		{1.5, 0, "2", "1"},
		{2.5, 0, "2", "2"},
		{-2.5, 0, "−2", "−2"},
		{-1.5, 0, "−2", "−1"},
		{0.285, -2, "0.28", "0.28"}, // below 0.285 in binary
		{1.005, -2, "1.00", "1.00"},
		{1.015, -2, "1.02", "1.01"}, // below 1.015 in binary, a tie to a reader
		{999.5, 0, "1000", "999"},
		{-0.004, -2, "0.00", "0.00"}, // no Minus before nought
		{1e300, -2, "1", ""},
	}
	n := Notation{}
	for _, c := range cases[:len(cases)-1] {
		if got := n.decimal(decimalOf(c.x).round(c.place)); got != spacedOut(c.want) {
			t.Errorf("%v to 10^%d: %q, want %q", c.x, c.place, got, spacedOut(c.want))
		}
		if got := n.decimal(decimalOf(math.Nextafter(c.x, 0)).round(c.place)); got != spacedOut(c.belowX) {
			t.Errorf("below %v to 10^%d: %q, want %q", c.x, c.place, got, spacedOut(c.belowX))
		}
	}
}

func TestUncertaintyGUM(t *testing.T) {
	// JCGM 100:2008, 7.2.6.
	mohm := Scale{"mΩ", -3}
	kHz := Scale{"kHz", 3}
	n := Notation{}
	if got := n.Uncertainty(0.01047, mohm); got != "11" {
		t.Errorf("10.47 mΩ: %q", got)
	}
	if got := n.Uncertainty(28050, kHz); got != "28" {
		t.Errorf("28.05 kHz: %q", got)
	}
	if got := n.Number(fit.NewValue(10.05762, 0.027), Scale{"Ω", 0}); got != "10.058(27)" {
		t.Errorf("10.057 62 Ω with 27 mΩ: %q, want 10.058", got)
	}
	for _, c := range []struct {
		u    float64
		want string
	}{
		{0.0995, "0.10"}, {0.0996, "0.10"}, {0.994, "0.99"}, {99.6, "100"}, {0.1, "0.10"}, {0.12, "0.12"},
		{0.1202, "0.12"}, {0.1224, "0.12"}, {0.1225, "0.13"}, {0.02, "0.020"}, {3, "3.0"}, {147, "150"}, {0, "0"},
	} {
		if got := n.Uncertainty(c.u, Scale{}); got != c.want {
			t.Errorf("u %v: %q, want %q", c.u, got, c.want)
		}
	}
}

func TestUncertaintyNeverUnderstated(t *testing.T) {
	for u := 1e-9; u < 1e9; u *= 1.0137 {
		r := roundUncertainty(u)
		back := float64(r.digits) * math.Pow10(r.exponent)
		if back < u*(1-understatement)*(1-1e-12) || back > u*1.1 {
			t.Fatalf("%v is shown as %v", u, back)
		}
		if r.digits < 10 || r.digits > 99 {
			t.Fatalf("%v has digits %d, want two", u, r.digits)
		}
	}
}

func TestNotationGUM(t *testing.T) {
	// JCGM 100:2008, 7.2.2 and 7.2.4, the nominally 100 g standard of mass.
	gram := Scale{"g", 0}
	n := Notation{}
	if got := n.Value(fit.NewValue(100.02147, 0.35e-3), gram); got != spacedOut("100.021_47(35)~g") {
		t.Errorf("7.2.2: %q", got)
	}
	if got := n.Expanded(100.02147, 2.26*0.35e-3, gram); got != spacedOut("(100.021_47 ± 0.000_79)~g") {
		t.Errorf("7.2.4: %q", got)
	}
	// JCGM 100:2008, table H.4, where u has been given three digits: R and |Z| to two.
	if got := n.Value(fit.NewValue(127.73219, 0.0710714), Scale{"Ω", 0}); got != spacedOut("127.732(71)~Ω") {
		t.Errorf("H.2: %q", got)
	}
	// EA-4/02, example S3: 10 000.178 Ω with U = 0.017 Ω.
	if got := n.Expanded(10000.1780007665, 2*8.328004e-3, Scale{"Ω", 0}); got != spacedOut("(10_000.178 ± 0.017)~Ω") {
		t.Errorf("S3: %q", got)
	}
}

func TestNumbers(t *testing.T) {
	mohm := Scale{"mΩ", -3}
	en, de := NotationOf("en"), NotationOf("de")
	for _, c := range []struct{ got, want string }{
		{en.Value(fit.NewValue(0.0201523, 0.00012), mohm), "20.15(12)~mΩ"},
		{de.Value(fit.NewValue(0.0201523, 0.00012), mohm), "20,15(12)~mΩ"},
		{en.Value(fit.Value{}, mohm), "—"},
		{en.Expanded(0.0201523, 0.00024, mohm), "(20.15 ± 0.24)~mΩ"},
		{en.Expanded(1.2341, 0.0562, Scale{}), "1.234 ± 0.056"},
		{en.Ratio(1.5013, 0.0653), spacedOut("1.501_×/÷_1.067")}, // e to the 0.0653 is 1.067 48
		{de.Ratio(1.2, 0.728), spacedOut("1,20_×/÷_2,07")},
		{en.Ratio(1.0421, 0.00123), spacedOut("1.0421_×/÷_1.0012")},
		{en.Ratio(1, 0), "1"},
		{en.Ratio(1, 800), NotHad},
		{en.Expanded(math.NaN(), 1, Scale{}), "—"},
		{en.Expanded(1, math.NaN(), mohm), "—"},
		{en.Coverage(2), "(k = 2)"},
		{de.Coverage(1.96), "(k = 1,96)"},
		{en.Number(fit.NewValue(20.14, 5.3), Scale{}), "20.1(5.3)"},
		{en.Number(fit.NewValue(0.0001, 5.3), Scale{}), "0.0(5.3)"},
		{en.Number(fit.NewValue(-0.0001, 5.3), Scale{}), "0.0(5.3)"},
		{en.Number(fit.NewValue(-1.5, 0.5), Scale{}), "−1.50(50)"},
		{en.Number(fit.NewValue(1234, 120), Scale{}), "1230(120)"},
		{en.Number(fit.NewValue(1, 1e-30), Scale{}), "1.000_000_000_000_0000(0)"},
		{en.Number(fit.NewValue(0.035, 0), mohm), "35(0)"},
		{en.Interval(1.1812, 1.3051, 0.03, Scale{}), "1.181 … 1.305"},
		{en.Stated(0.03, mohm), "30~mΩ"},
		{en.Stated(0.1, mohm), "100~mΩ"},
		{de.Stated(1.5, Scale{}), "1,5"},
		{en.Percentage(0.0028, 2), "0.28~%"},
		{de.Percentage(0.95455, 1), "95,5~%"},
		{en.Percentage(math.NaN(), 1), "—"},
		{en.Fixed(1250, 0, Scale{}), "1250"},
		{en.Fixed(12500, 0, Scale{}), "12_500"},
		{en.Temperature(25.3, 0.5), "25.30(50)~°C"}, {en.Temperature(25, 0), "25~°C"},
		{en.Date(time.Date(2026, 3, 14, 0, 0, 0, 0, time.UTC)), "2026-03-14"},
		{de.Date(time.Date(2026, 3, 14, 0, 0, 0, 0, time.UTC)), "14.03.2026"},
		{en.Minute(time.Date(2026, 3, 14, 9, 30, 0, 0, time.UTC)), "2026-03-14 09:30"},
		{en.Date(time.Time{}), "—"},
	} {
		if c.got != spacedOut(c.want) {
			t.Errorf("%q, want %q", c.got, spacedOut(c.want))
		}
	}
}

func TestScale(t *testing.T) {
	v := fit.NewValue
	for _, c := range []struct {
		unit   Unit
		values []fit.Value
		want   string
	}{
		{Ohm, []fit.Value{v(0.020, 0.0001)}, "mΩ"},
		{Ohm, []fit.Value{v(0.99996, 0.001)}, "Ω"},
		{Ohm, []fit.Value{v(0.99994, 0.00001)}, "mΩ"},
		{Ohm, []fit.Value{v(2.3, 0.01)}, "Ω"},
		{Ohm, []fit.Value{v(0.0000203, 1e-7)}, "µΩ"},
		{Ohm, []fit.Value{v(1234, 1)}, "kΩ"},
		{Ohm, []fit.Value{v(0.012, 0.150)}, "Ω"}, // 0.01(15) Ω, not 10(150) mΩ
		{Ohm, []fit.Value{v(0.012, 0.015)}, "mΩ"},
		{Ohm, []fit.Value{v(0, 0.0053)}, "mΩ"},
		{Ohm, []fit.Value{v(10, 0)}, "Ω"},
		{Ohm, []fit.Value{v(0, 0)}, "Ω"},
		{Ohm, nil, "Ω"},
		{Ohm, []fit.Value{{}}, "Ω"},
		{Ohm, []fit.Value{v(0.0014, 1e-5), v(0.047, 1e-4), {}, v(0.010, 1e-4), v(2.1, 0.1)}, "mΩ"},
		{Henry, []fit.Value{v(2e-7, 1e-9)}, "nH"},
		{Henry, []fit.Value{v(2e-20, 1e-21)}, "pH"},
		{AmpereHour, []fit.Value{v(0.0012, 1e-5)}, "Ah"},
		{One, []fit.Value{v(0.0012, 1e-5)}, ""},
	} {
		if got := c.unit.Scale(c.values...).Symbol; got != c.want {
			t.Errorf("%v: %q, want %q", c.values, got, c.want)
		}
	}
}

func TestDecimals(t *testing.T) {
	mohm := Scale{"mΩ", -3}
	for u, want := range map[float64]int{0.00012: 2, 0.012: 0, 0.12: 0, 0: 0, math.NaN(): 0, 1.2e-6: 4} {
		if got := mohm.Decimals(u); got != want {
			t.Errorf("u %v Ω: %d decimals of a milliohm, want %d", u, got, want)
		}
	}
	if got := mohm.In(0.0201); math.Abs(got-20.1) > 1e-13 {
		t.Errorf("0.0201 Ω is %v mΩ", got)
	}
	if UnitOf(job.CapacityAh) != AmpereHour || UnitOf(job.OhmicGrowth) != One || UnitOf(job.OhmicOhm) != Ohm {
		t.Error("units of quantities")
	}
}
