package spectrum

import (
	"fmt"
	"slices"
	"testing"
)

func TestMapping(t *testing.T) {
	want, err := Read("a.csv", []byte("frequency_hz,z_real_ohm,z_imag_ohm\n"+good), Columns{})
	if err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		name, text string
		columns    Columns
		note       string
	}{
		{"headings", "Freq,Resistance,Reactance\n" + good,
			Columns{Frequency: " FREQ ", Real: "resistance", Imaginary: "Reactance", Unit: "Ω"},
			`Read as job.yaml says: columns: {frequency: "FREQ", real: "resistance", imaginary: "Reactance", unit: Ω}.`},
		{"headings with units", "Freq (Hz),Resistance (ohm),-Reactance (ohm)\n" + bad,
			Columns{Frequency: "Freq (Hz)", Real: "Resistance (ohm)", Imaginary: "-Reactance (ohm)"},
			`Read as job.yaml says: columns: {frequency: "Freq (Hz)", real: "Resistance (ohm)", imaginary: "-Reactance (ohm)"}.`},
		{"unit", "freq/Hz,Z',Z''\n" + good, Columns{Unit: "ohm"}, `Read as job.yaml says: columns: {unit: ohm}.`},
		{"sign", "frequency_hz,z_real_ohm,z_imag_ohm\n" + bad, Columns{ImaginarySign: "-"}, `Read as job.yaml says: columns: {imaginary_sign: "-"}.`},
		{"one of two", "frequency_hz,Z' (ohm),Zre (ohm),Z'' (ohm)\n100,0.5,9,-0.2\n10,0.6,9,-0.3\n1,0.7,9,-0.2\n0.1,0.8,9,-0.4\n",
			Columns{Real: "Z' (ohm)"}, `Read as job.yaml says: columns: {real: "Z' (ohm)"}.`},
		{"against the spelling", "frequency_hz,Z'' (ohm),Z' (ohm)\n" + good, Columns{Real: "Z'' (ohm)", Imaginary: "Z' (ohm)"},
			`Read as job.yaml says: columns: {real: "Z'' (ohm)", imaginary: "Z' (ohm)"}.`},
		{"native file among others", "frequency_hz,z_real_ohm,z_imag_ohm\n" + good, Columns{Real: "z_real_mohm", Imaginary: "z_imag_mohm", Unit: "mohm"}, ""},
		{"native file, its frequency mapped for others", "frequency_hz,z_real_ohm,z_imag_ohm\n" + good, Columns{Frequency: "frequency_hz", Real: "Zr", Imaginary: "Zi", Unit: "mohm"}, ""},
		{"other columns of a native file", "frequency_hz,z_real_ohm,z_imag_ohm,Zc_re (ohm),Zc_im (ohm)\n100,9,-9,0.5,-0.2\n10,9,-9,0.6,-0.3\n1,9,-9,0.7,-0.2\n0.1,9,-9,0.8,-0.4\n",
			Columns{Real: "Zc_re (ohm)", Imaginary: "Zc_im (ohm)"}, `Read as job.yaml says: columns: {real: "Zc_re (ohm)", imaginary: "Zc_im (ohm)"}.`},
		{"file of another instrument", "freq/Hz,Re(Z)/ohm,Im(Z)/ohm\n" + good, Columns{Frequency: "Abtastung", Real: "Wirkanteil"},
			"No heading that job.yaml's columns name stands in this file; it was read by its own headings."},
	} {
		t.Run(test.name, func(t *testing.T) {
			got, err := Read("a.csv", []byte(test.text), test.columns)
			if err != nil {
				t.Fatal(err)
			}
			equal(t, got, want, 0)
			var notes []Note
			if test.note != "" {
				notes = []Note{{Kind: Mapped, Text: test.note}}
			}
			for i, n := range got.Notes { // what was used is that which the text says
				if n.Columns != (Columns{}) && n.Text == "Read as job.yaml says: "+n.Columns.String()+"." {
					got.Notes[i].Columns = Columns{}
				}
			}
			if !slices.Equal(got.Notes, notes) {
				t.Errorf("notes %+v, want %+v", got.Notes, notes)
			}
		})
	}
}

func TestMappedUnitScales(t *testing.T) {
	text := "freq/Hz,Z',Z''\n100,500,-200\n10,600,-300\n1,700,-200\n0.1,800,-400\n"
	want, err := Read("a.csv", []byte("frequency_hz,z_real_ohm,z_imag_ohm\n"+good), Columns{})
	if err != nil {
		t.Fatal(err)
	}
	for _, unit := range []string{"mohm", "mΩ", "m\u2126"} {
		got, err := Read("a.csv", []byte(text), Columns{Unit: unit})
		if err != nil {
			t.Fatal(err)
		}
		equal(t, got, want, 0)
	}
}

// A mapped phase without unit is in degrees; where a file has both forms, mapping picks one.
func TestMappedPolar(t *testing.T) {
	text := "f/Hz,Z'/ohm,Z''/ohm,Betrag,Winkel\n100,9,9,1,-2\n10,9,9,1,-1\n1,9,9,1,-3\n"
	got, err := Read("a.csv", []byte(text), Columns{Magnitude: "Betrag", Phase: "Winkel", Unit: "ohm"})
	if err != nil {
		t.Fatal(err)
	}
	// cos and sin of 2°, 1° and 3°: from memory of tables to five places, from 2 sin 1° cos 1° and so on.
	want := &Spectrum{Frequency: []float64{100, 10, 1}, Impedance: []complex128{0.99939 - 0.03490i, 0.99985 - 0.01745i, 0.99863 - 0.05234i}}
	equal(t, got, want, 1e-5)
}

// A shorted fixture is inductive throughout: nothing that a cell could be, yet no wrong sign.
func TestFixture(t *testing.T) {
	text := []byte("frequency_hz,z_real_ohm,-z_imag_ohm\n1000,0.002,-0.003\n100,0.002,-0.0003\n10,0.002,-0.00003\n1,0.002,-0.000003\n")
	if _, err := Read("short.csv", text, Columns{}); err == nil {
		t.Error("read as a cell")
	}
	got, err := ReadFixture("short.csv", text, Columns{})
	if err != nil {
		t.Fatal(err)
	}
	want := &Spectrum{Frequency: []float64{1000, 100, 10, 1}, Impedance: []complex128{0.002 + 0.003i, 0.002 + 0.0003i, 0.002 + 0.00003i, 0.002 + 0.000003i}}
	equal(t, got, want, 0)
}

// Where the band ends above the frequencies at which every cell is capacitive, nothing is held against Z” > 0.
func TestInductiveAboveLowFrequency(t *testing.T) {
	text := "frequency_hz,z_real_ohm,z_imag_ohm\n100000,0.02,0.05\n10000,0.02,0.005\n1000,0.02,0.0005\n"
	if _, err := Read("a.csv", []byte(text), Columns{}); err != nil {
		t.Error(err)
	}
}

// Long leads around a large cell outweigh it well below a kilohertz; the lower half of the band tells.
func TestInductiveInUpperHalf(t *testing.T) {
	text := "frequency_hz,z_real_ohm,z_imag_ohm\n"
	for f := 1000; f > 30; f = f * 19 / 20 {
		text += fmt.Sprintf("%d,0.001,%g\n", f, 1e-6*float64(f))
	}
	if _, err := Read("a.csv", []byte(text+"2,0.001,-0.0001\n1,0.001,-0.0002\n"), Columns{}); err != nil {
		t.Error(err)
	}
	if _, err := Read("a.csv", []byte(text+"2,0.001,0.0001\n1,0.001,0.0002\n"), Columns{}); err == nil {
		t.Error("a cell inductive down to 1 Hz is read")
	}
}

// Points of equal frequency stay in the order of the file, however many there are.
func TestEqualFrequenciesKeepTheirOrder(t *testing.T) {
	text := "frequency_hz,z_real_ohm,z_imag_ohm\n"
	for i := range 90 {
		text += fmt.Sprintf("%d,1,-1\n", 1+i%3)
	}
	s, err := Read("a.csv", []byte(text), Columns{})
	if err != nil {
		t.Fatal(err)
	}
	for i := range s.Line {
		if want := 4 - i/30 + 3*(i%30); s.Line[i] != want {
			t.Fatalf("point %d is from line %d, want %d", i, s.Line[i], want)
		}
	}
}

func TestNotes(t *testing.T) {
	const header = "frequency_hz,z_real_ohm,z_imag_ohm\n"
	for _, test := range []struct {
		name, text string
		want       []Note
		lines      []int
	}{
		{"falling", header + "9,1,-1\n8,1,-1\n7,1,-1\n", nil, []int{2, 3, 4}},
		{"rising", header + "7,1,-1\n8,1,-1\n9,1,-1\n", nil, []int{4, 3, 2}},
		{"disordered", header + "9,1,-1\n7,1,-1\n\n8,1,-1\n6.5,1,-1\n",
			[]Note{{Kind: OutOfOrder, Line: 5, FrequencyHz: 8, Text: "The points are not in order of frequency; the first out of order is 8 Hz."}}, []int{2, 5, 3, 6}},
		{"doubled", header + "9,1,-1\n8,1,-1\n8,2,-1\n7,1,-1\n",
			[]Note{{Kind: Doubled, Line: 4, FrequencyHz: 8, Points: 1, Text: "Points at a frequency that stands before: 1; the first of them is at 8 Hz."}}, []int{2, 3, 4, 5}},
		{"sweep measured twice", header + "9,1,-1\n8,1,-1\n7,1,-1\n9,1,-1\n8,1,-1\n7,1,-1\n",
			[]Note{
				{Kind: OutOfOrder, Line: 5, FrequencyHz: 9, Text: "The points are not in order of frequency; the first out of order is 9 Hz."},
				{Kind: Doubled, Line: 5, FrequencyHz: 9, Points: 3, Text: "Points at a frequency that stands before: 3; the first of them is at 9 Hz."},
			}, []int{2, 5, 3, 6, 4, 7}},
	} {
		t.Run(test.name, func(t *testing.T) {
			got, err := Read("a.csv", []byte(test.text), Columns{})
			if err != nil {
				t.Fatal(err)
			}
			if !slices.Equal(got.Notes, test.want) {
				t.Errorf("notes %+v, want %+v", got.Notes, test.want)
			}
			if !slices.Equal(got.Line, test.lines) {
				t.Errorf("lines %v, want %v", got.Line, test.lines)
			}
		})
	}
}

// Marked as a refusal says, a heading is of the same part with the other sign, whatever it was.
func TestMarkedHeadings(t *testing.T) {
	for _, heading := range []string{"z_imag_ohm", "-z_imag_ohm", "Z'' (ohm)", "−Z″ / Ω", "minus Im(Z) [mohm]", "phase (deg)", "-phase", "φ", "Zim"} {
		known, ok := parseHeading(heading)
		if !ok {
			t.Fatalf("%s is not known", heading)
		}
		c := &column{heading: known, header: Cell{Text: heading}}
		other, ok := parseHeading(c.marked())
		if !ok || other.quantity != known.quantity || other.negative == known.negative || known.unit.known() && other.unit != known.unit {
			t.Errorf("%s is marked as %s: %+v", heading, c.marked(), other)
		}
	}
}
