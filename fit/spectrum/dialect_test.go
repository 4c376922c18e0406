package spectrum

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// example is an invented spectrum: one arc, lead inductance, the start of a tail.
func example() *Spectrum {
	return &Spectrum{
		Frequency: []float64{10000, 1000, 100, 10, 1, 0.1, 0.05},
		Impedance: []complex128{0.0205 + 0.0011i, 0.021 - 0.0004i, 0.0225 - 0.0021i, 0.0264 - 0.0033i, 0.0318 - 0.0021i, 0.0341 - 0.0042i, 0.0352 - 0.0064i},
	}
}

// dialect is a way to write a spectrum file.
type dialect struct {
	headings  [3]string // of frequency, Z' and Z''
	factors   [3]float64
	delimiter string // comma where empty
	decimal   string // point where empty
}

func (d dialect) text(s *Spectrum) string {
	if d.delimiter == "" {
		d.delimiter = ","
	}
	var b strings.Builder
	b.WriteString(strings.Join(d.headings[:], d.delimiter) + "\n")
	for i, z := range s.Impedance {
		for j, v := range []float64{s.Frequency[i], real(z), imag(z)} {
			if j > 0 {
				b.WriteString(d.delimiter)
			}
			number := strconv.FormatFloat(v*d.factors[j], 'g', 15, 64)
			if d.decimal != "" {
				number = strings.Replace(number, ".", d.decimal, 1)
			}
			b.WriteString(number)
		}
		b.WriteByte('\n')
	}
	return b.String()
}

var native = dialect{headings: [3]string{"frequency_hz", "z_real_ohm", "z_imag_ohm"}, factors: [3]float64{1, 1, 1}}

func TestHeadings(t *testing.T) {
	for _, d := range []dialect{
		native,
		{headings: [3]string{"FREQUENCY_HZ", "Z_Real_Ohm", "Z_IMAG_OHM"}, factors: [3]float64{1, 1, 1}},
		{headings: [3]string{"Frequency (Hz)", "Z' (ohm)", "Z'' (ohm)"}, factors: [3]float64{1, 1, 1}},
		{headings: [3]string{"Frequency (Hz)", "Z' (Ohm)", "-Z'' (Ohm)"}, factors: [3]float64{1, 1, -1}},
		{headings: [3]string{"freq / Hz", "Re(Z) / Ohm", "Im(Z) / Ohm"}, factors: [3]float64{1, 1, 1}},
		{headings: [3]string{"freq/Hz", "Re(Z)/Ohm", "-Im(Z)/Ohm"}, factors: [3]float64{1, 1, -1}},
		{headings: [3]string{"f/kHz", "Re Z/mΩ", "-Im Z/mΩ"}, factors: [3]float64{1e-3, 1e3, -1e3}},
		{headings: [3]string{"f [mHz]", "Zre [mOhm]", "Zim [mOhm]"}, factors: [3]float64{1e3, 1e3, 1e3}},
		{headings: [3]string{"f (kHz)", "Zreal (kohm)", "Zimag (kΩ)"}, factors: [3]float64{1e-3, 1e-3, 1e-3}},
		{headings: [3]string{"freq_hz", "z_re_ohm", "z_im_ohm"}, factors: [3]float64{1, 1, 1}},
		{headings: [3]string{"freq_khz", "z_real_mohm", "z_imag_mohm"}, factors: [3]float64{1e-3, 1e3, 1e3}},
		{headings: [3]string{"Freq. in Hz", "Z' in mΩ", "−Z″ in mΩ"}, factors: [3]float64{1, 1e3, -1e3}},
		{headings: [3]string{"Frequency Hz", "Z′ mΩ", "Z″ mΩ"}, factors: [3]float64{1, 1e3, 1e3}},
		{headings: [3]string{"f / Hz", "Z' / \u2126", "Z'' / \u2126"}, factors: [3]float64{1, 1, 1}}, // the ohm sign
		{headings: [3]string{"f / Hz", "Z' / Ω", "Z'' / Ω"}, factors: [3]float64{1, 1, 1}},           // the letter
		{headings: [3]string{"f (Hz)", "Z' (Ω)", `-Z" (Ω)`}, factors: [3]float64{1, 1, -1}},
		{headings: [3]string{"f (Hz)", "Z’ (m\u2126)", "–Z’’ (m\u2126)"}, factors: [3]float64{1, 1e3, -1e3}},
		{headings: [3]string{"f/(Hz)", "Z'/(mΩ)", "-Z''/[mΩ]"}, factors: [3]float64{1, 1e3, -1e3}},
		{headings: [3]string{"Frequenz/Hz", "Realteil/mOhm", "Imaginärteil/mOhm"}, factors: [3]float64{1, 1e3, 1e3}},
		{headings: [3]string{"Frequency{Hz}", "Real{milliohm}", "negative Imag{milliohm}"}, factors: [3]float64{1, 1e3, -1e3}},
		{headings: [3]string{"f (Hz)", "Real (Z) (µΩ)", "- Imag (Z) (µΩ)"}, factors: [3]float64{1, 1e6, -1e6}},
		{headings: [3]string{" f (Hz) ", " real part (ohm)", "imaginary part (ohm) "}, factors: [3]float64{1, 1, 1}},
	} {
		t.Run(strings.Join(d.headings[:], " | "), func(t *testing.T) {
			d.delimiter = ";"
			got, err := Read("a.csv", []byte(d.text(example())), Columns{})
			if err != nil {
				t.Fatal(err)
			}
			equal(t, got, example(), 1e-13) // 15 digits are written
			if len(got.Notes) != 0 {
				t.Errorf("notes %+v", got.Notes)
			}
		})
	}
}

func TestPolarHeadings(t *testing.T) {
	for _, test := range []struct {
		modulus, phase string
		perOhm, perRad float64
	}{
		{"|Z| (ohm)", "phase (deg)", 1, 180 / math.Pi},
		{"|Z|/mΩ", "Phase/°", 1e3, 180 / math.Pi},
		{"Zmod (Ohm)", "-phase (deg)", 1, -180 / math.Pi},
		{"mod(Z) [mOhm]", "φ [°]", 1e3, 180 / math.Pi},
		{"abs(Z)/ohm", "arg(Z)/rad", 1, 1},
		{"magnitude_ohm", "phase_deg", 1, 180 / math.Pi},
		{"magnitude_ohm", "phase_rad", 1, 1},
		{"|Z| / Ω", "Phase(Z) / degrees", 1, 180 / math.Pi},
		{"|Z| / Ω", "phase", 1, 180 / math.Pi}, // values beyond a turn in radian are degrees
	} {
		t.Run(test.modulus+" | "+test.phase, func(t *testing.T) {
			var b strings.Builder
			fmt.Fprintf(&b, "frequency_hz\t%s\t%s\n", test.modulus, test.phase)
			want := example()
			for i, z := range want.Impedance {
				r, phase := math.Hypot(real(z), imag(z)), math.Atan2(imag(z), real(z))
				fmt.Fprintf(&b, "%g\t%.17g\t%.17g\n", want.Frequency[i], r*test.perOhm, phase*test.perRad)
			}
			got, err := Read("a.txt", []byte(b.String()), Columns{})
			if err != nil {
				t.Fatal(err)
			}
			equal(t, got, want, 1e-14)
		})
	}
}

// Columns that hold no part of the spectrum do not disturb it.
func TestOtherColumnsAreLeftAlone(t *testing.T) {
	for _, headings := range []string{
		"no.;Time (s);Im (A);frequency_hz;Z' (ohm cm2);z_real_ohm;z_imag_ohm;|Z|;phase;Re(Y)/S;;log(f)",
		"no.;Time (s);Im (A);frequency_hz;Z' (mohm);z_real_ohm;z_imag_ohm;|Z|;phase;Re(Y)/S;;log(f)",
		"no.;Time (s);Im (A);f (Hz);Z' (ohm cm2);Z' (ohm);Z'' (ohm);|Z|;phase;Re(Y)/S;;log(f)",
	} {
		text := headings + "\n1;0;x;10;5;0.5;-0.25;;;;;\n2;0;x;1;5;0.5;-0.25;;;;;\n3;0;x;0.1;5;0.5;-0.25;;;;;\n"
		got, err := Read("a.csv", []byte(text), Columns{})
		if err != nil {
			t.Fatal(err)
		}
		z := 0.5 - 0.25i
		equal(t, got, &Spectrum{Frequency: []float64{10, 1, 0.1}, Impedance: []complex128{z, z, z}}, 0)
	}
}

func TestDelimitersAndDecimals(t *testing.T) {
	for _, test := range []struct{ delimiter, decimal string }{
		{",", "."}, {";", "."}, {"\t", "."}, {";", ","}, {"\t", ","},
	} {
		d := native
		d.delimiter, d.decimal = test.delimiter, test.decimal
		got, err := Read("a.csv", []byte(d.text(example())), Columns{})
		if err != nil {
			t.Errorf("%q, %q: %v", test.delimiter, test.decimal, err)
			continue
		}
		equal(t, got, example(), 0)
	}
}

func TestEncodingsAndLineEnds(t *testing.T) {
	d := dialect{headings: [3]string{"f (Hz)", "Z’ (µohm)", "Z” (µohm)"}, factors: [3]float64{1, 1e6, 1e6}, delimiter: ";"}
	latin := d
	latin.headings = [3]string{"f (Hz)", "Z' (µohm)", "Z'' (µohm)"}
	for name, test := range map[string]struct {
		dialect dialect
		to      encoding.Encoding
	}{
		"UTF-8":              {d, unicode.UTF8},
		"UTF-8 with mark":    {d, unicode.UTF8BOM},
		"UTF-16LE":           {d, unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM)},
		"UTF-16BE":           {d, unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM)},
		"UTF-16LE with mark": {d, unicode.UTF16(unicode.LittleEndian, unicode.UseBOM)},
		"UTF-16BE with mark": {d, unicode.UTF16(unicode.BigEndian, unicode.UseBOM)},
		"Windows-1252":       {d, charmap.Windows1252},
		"Latin-1":            {latin, charmap.ISO8859_1},
	} {
		for _, end := range []string{"\n", "\r\n", "\r"} {
			text := strings.ReplaceAll("# µ\n"+test.dialect.text(example()), "\n", end)
			data, err := test.to.NewEncoder().Bytes([]byte(text))
			if err != nil {
				t.Fatal(err)
			}
			got, err := Read("a.csv", data, Columns{})
			if err != nil {
				t.Errorf("%s, %q: %v", name, end, err)
				continue
			}
			equal(t, got, example(), 1e-13)
			if got.Line[0] != 3 {
				t.Errorf("%s, %q: first point on line %d, want 3", name, end, got.Line[0])
			}
		}
	}
}

func TestSeparatorHintAndQuotes(t *testing.T) {
	text := "sep=;\n\"frequency_hz\" ; \"z_real\n (ohm)\";\"z_imag\"\"(ohm)\"\n10;\"0,5\";-0,25;\n\n;;\n1;0,5;-0,25\n  # rest\n0,1 ; 0,5 ; -0,25\n"
	got, err := Read("a.csv", []byte(strings.Replace(text, `z_imag""(`, `-Z""(`, 1)), Columns{ImaginarySign: "+"})
	if err != nil {
		t.Fatal(err)
	}
	z := 0.5 - 0.25i
	equal(t, got, &Spectrum{Frequency: []float64{10, 1, 0.1}, Impedance: []complex128{z, z, z}}, 0)
	if got.Line[0] != 4 || got.Line[2] != 9 {
		t.Errorf("lines %v", got.Line)
	}
}

// equal holds frequencies and impedances to a relative tolerance.
func equal(t *testing.T, got, want *Spectrum, tolerance float64) {
	t.Helper()
	if len(got.Frequency) != len(want.Frequency) || len(got.Impedance) != len(want.Impedance) || len(got.Line) != len(want.Frequency) {
		t.Fatalf("%d frequencies, %d impedances, %d lines; want %d", len(got.Frequency), len(got.Impedance), len(got.Line), len(want.Frequency))
	}
	for i, z := range want.Impedance {
		if off := math.Abs(got.Frequency[i]/want.Frequency[i] - 1); !(off <= tolerance) {
			t.Errorf("point %d: frequency %v, want %v", i, got.Frequency[i], want.Frequency[i])
		}
		difference := got.Impedance[i] - z
		if off := math.Hypot(real(difference), imag(difference)) / math.Hypot(real(z), imag(z)); !(off <= tolerance) {
			t.Errorf("point %d: impedance %v, want %v", i, got.Impedance[i], z)
		}
	}
}
