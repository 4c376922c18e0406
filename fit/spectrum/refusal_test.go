package spectrum

import (
	"fmt"
	"strings"
	"testing"
)

const (
	good = "100,0.5,-0.2\n10,0.6,-0.3\n1,0.7,-0.2\n0.1,0.8,-0.4\n" // rows of a capacitive spectrum
	bad  = "100,0.5,0.2\n10,0.6,0.3\n1,0.7,0.2\n0.1,0.8,0.4\n"     // the same with the sign of Z'' reversed
)

// What cannot be told for certain is refused with the line to add, all of a file in one answer.
func TestRefusals(t *testing.T) {
	for _, test := range []struct {
		name, text string
		columns    Columns
		want       string
	}{
		{"no units", "f,Z',Z''\n" + good, Columns{}, `
a.csv:1:1: heading "f" states no unit; Hz, kHz or mHz must stand there, or job.yaml must name the heading, which means Hz
a.csv:1:3: heading "Z'" states no known unit; ohm or mohm must stand there or in job.yaml
a.csv:1:6: heading "Z''" states no known unit; ohm or mohm must stand there or in job.yaml
    job.yaml needs:  columns: {frequency: "f", unit: ohm}   # or mohm
    where the job's files differ in unit, write it into the headings of each instead, as Zre (mohm), Zim (mohm)`},
		{"one unit of two", "freq/Hz,Z'/ohm,Z''\n" + good, Columns{}, `
a.csv:1:16: heading "Z''" states no known unit; ohm or mohm must stand there or in job.yaml
    job.yaml needs:  columns: {unit: ohm}   # or mohm
    where the job's files differ in unit, write it into the headings of each instead, as Zre (mohm), Zim (mohm)`},
		{"milli or mega", "freq_mhz,Z_real_Mohm,Z_imag_MΩ\n" + good, Columns{}, `
a.csv:1:1: no known heading for frequency, real part Z', imaginary part Z'' among "freq_mhz", "Z_real_Mohm", "Z_imag_MΩ"
    job.yaml needs:  columns: {frequency: "heading of the frequency", real: "Z_real_Mohm", imaginary: "Z_imag_MΩ", unit: ohm}   # or mohm
    where the job's files differ in unit, write it into the headings of each instead, as Zre (mohm), Zim (mohm)`},
		{"milli or mega in brackets", "freq (mhz),Z' (Mohm),Z'' (MΩ)\n" + good, Columns{}, `
a.csv:1:1: heading "freq (mhz)" states the unit "mhz"; Hz, kHz or mHz are allowed
a.csv:1:12: heading "Z' (Mohm)" states the unit "Mohm"; ohm, mohm or kohm (or Ω, mΩ, kΩ) are allowed
a.csv:1:22: heading "Z'' (MΩ)" states the unit "MΩ"; ohm, mohm or kohm (or Ω, mΩ, kΩ) are allowed`},
		{"per area", "frequency_hz,Z' (ohm cm2),Z'' (ohm cm2)\n" + good, Columns{Unit: "ohm"}, `
a.csv:1:14: heading "Z' (ohm cm2)" states the unit "ohm cm2"; ohm, mohm or kohm (or Ω, mΩ, kΩ) are allowed
a.csv:1:27: heading "Z'' (ohm cm2)" states the unit "ohm cm2"; ohm, mohm or kohm (or Ω, mΩ, kΩ) are allowed`},
		{"angular frequency", "f (rad/s),z_real_ohm,z_imag_ohm\n" + good, Columns{Frequency: "f (rad/s)"}, `
a.csv:1:1: heading "f (rad/s)" states the unit "rad/s"; Hz, kHz or mHz are allowed`},
		{"unknown headings", "a,b,c\n" + good, Columns{}, `
a.csv:1:1: no known heading for frequency, real part Z', imaginary part Z'' among "a", "b", "c"
    job.yaml needs:  columns: {frequency: "heading of the frequency", real: "heading of the real part Z'", imaginary: "heading of the imaginary part Z''", unit: ohm}   # or mohm
    where the job's files differ in unit, write it into the headings of each instead, as Zre (mohm), Zim (mohm)
    where the header row stands further down, put # before each line above it instead`},
		{"mistyped heading", "frequncy_hz,z_real_ohm,z_imag_ohm\n" + good, Columns{}, `
a.csv:1:1: no known heading for frequency among "frequncy_hz", "z_real_ohm", "z_imag_ohm"
    job.yaml needs:  columns: {frequency: "frequncy_hz"}`},
		{"modulus without phase", "frequency_hz,|Z| (ohm),x\n" + good, Columns{}, `
a.csv:1:1: no known heading for phase among "frequency_hz", "|Z| (ohm)", "x"
    job.yaml needs:  columns: {phase: "x"}`},
		{"two real parts", "frequency_hz,Z' (ohm),Zre (mohm),Z'' (ohm)\n100,1,1000,-1\n", Columns{}, `
a.csv:1:23: "Z' (ohm)" and "Zre (mohm)" both name the real part Z'; one of them must be chosen
    job.yaml needs:  columns: {real: "Z' (ohm)"}`},
		{"same heading twice", "frequency_hz,z_real_ohm,z_real_ohm,z_imag_ohm\n100,1,1,-1\n", Columns{}, `
a.csv:1:25: heading "z_real_ohm" stands over two columns; one of them must be renamed`},
		{"both signs", "frequency_hz,Z' (ohm),Z'' (ohm),-Z'' (ohm)\n100,1,-1,1\n", Columns{}, `
a.csv:1:33: "Z'' (ohm)" and "-Z'' (ohm)" both name the imaginary part Z''; one of them must be chosen
    job.yaml needs:  columns: {imaginary: "Z'' (ohm)"}`},

		{"sign against data", "frequency_hz,z_real_ohm,z_imag_ohm\n" + bad, Columns{}, `
a.csv:1:25: heading "z_imag_ohm" gives Z'', by which the cell would be inductive at low frequency; no cell is
    job.yaml needs:  columns: {imaginary_sign: "-"}
    where the job's other files are right as they are, mark this file's heading instead, as -z_imag_ohm`},
		{"both parts turned", "frequency_hz,z_real_ohm,z_imag_ohm\n100,-1,0.3\n10,-1.2,0.4\n1,-1.3,0.3\n0.1,-1.5,0.4\n", Columns{}, `
a.csv:1:25: real part and heading "z_imag_ohm" give an impedance whose both parts have the wrong sign: that of no cell, but of one turned over
    most likely the sensing leads are swapped: put each to the side of its current lead and measure again; imaginary_sign does not mend it`},
		{"marked sign against data", "frequency_hz,Z' (ohm),-Z'' (ohm)\n" + good, Columns{}, `
a.csv:1:23: heading "-Z'' (ohm)" gives the negative of Z'', by which the cell would be inductive at low frequency; no cell is
    job.yaml needs:  columns: {imaginary_sign: "+"}
    where the job's other files are right as they are, mark this file's heading instead, as Z'' (ohm)`},
		{"phase against data", "frequency_hz,|Z| (ohm),phase (deg)\n100,1,20\n10,1,30\n1,1,20\n0.1,1,30\n", Columns{}, `
a.csv:1:24: heading "phase (deg)" gives the phase, by which the cell would be inductive at low frequency; no cell is
    job.yaml needs:  columns: {imaginary_sign: "-"}
    where the job's other files are right as they are, mark this file's heading instead, as -phase (deg)`},
		{"job.yaml against heading and data", "frequency_hz,z_real_ohm,z_imag_ohm\n" + good, Columns{ImaginarySign: "-"}, `
a.csv:1:25: imaginary_sign: "-" in job.yaml's columns would make the cell inductive at low frequency; heading "z_imag_ohm" and the data say the opposite
    take imaginary_sign out of job.yaml; where other files need it, mark their headings, as -z_imag_ohm`},
		{"sign and unit", "f,Z',Z''\n" + bad, Columns{Unit: "mohm"}, `
a.csv:1:1: heading "f" states no unit; Hz, kHz or mHz must stand there, or job.yaml must name the heading, which means Hz
a.csv:1:6: heading "Z''" gives Z'', by which the cell would be inductive at low frequency; no cell is
    job.yaml needs:  columns: {frequency: "f", unit: mohm, imaginary_sign: "-"}
    where the job's other files are right as they are, mark this file's heading instead, as -Z''`},
		{"unit against unit", "frequency_hz,Z' (ohm),Z'' (ohm)\n" + good, Columns{Unit: "mohm"}, `
a.csv:1:14: heading "Z' (ohm)" states ohm, job.yaml's columns say unit: mohm; they must agree
    correct the heading; or, where files differ, take unit out of job.yaml's columns and write it into all headings, as Zre (mohm), Zim (mohm)
a.csv:1:23: heading "Z'' (ohm)" states ohm, job.yaml's columns say unit: mohm; they must agree
    correct the heading; or, where files differ, take unit out of job.yaml's columns and write it into all headings, as Zre (mohm), Zim (mohm)`},
		{"degrees or radian", "frequency_hz,|Z| (ohm),phase\n100,1,-1\n10,1,-2\n1,1,-3\n", Columns{}, `
a.csv:1:24: heading "phase" states no unit, and the values fit degrees and radian; deg or rad must stand there, or job.yaml must name the heading, which means degrees
    job.yaml needs:  columns: {phase: "phase"}`},
		{"unit of the phase", "frequency_hz,|Z| (ohm),phase (grad)\n" + good, Columns{}, `
a.csv:1:24: heading "phase (grad)" states the unit "grad"; deg, ° or rad are allowed`},

		{"one heading unknown", "frequency_hz,z_real_ohm,foo\n" + good, Columns{}, `
a.csv:1:1: no known heading for imaginary part Z'' among "frequency_hz", "z_real_ohm", "foo"
    job.yaml needs:  columns: {imaginary: "foo"}`},
		{"two headings left for one", "frequency_hz,z_real_ohm,foo,bar\n" + good, Columns{}, `
a.csv:1:1: no known heading for imaginary part Z'' among "frequency_hz", "z_real_ohm", "foo", "bar"
    job.yaml needs:  columns: {imaginary: "heading of the imaginary part Z''"}`},
		{"mapped heading mistyped", "Freq,Resistance,Reactance\n" + good, Columns{Frequency: "Freq", Real: "Resistence", Imaginary: "reactance", Unit: "ohm"}, `
a.csv:1:1: job.yaml's columns give real: "Resistence", which is none of the headings "Freq", "Resistance", "Reactance"
    job.yaml needs:  columns: {frequency: "Freq", real: "Resistance", imaginary: "reactance", unit: ohm}
    where the job's other files have the headings that it names now, rename those of this file instead`},
		{"mapped without unit", "Freq,Resistance,Reactance\n" + good, Columns{Frequency: "Freq", Real: "Resistance", Imaginary: "Reactance"}, `
a.csv:1:6: heading "Resistance" states no known unit; ohm or mohm must stand there or in job.yaml
a.csv:1:17: heading "Reactance" states no known unit; ohm or mohm must stand there or in job.yaml
    job.yaml needs:  columns: {frequency: "Freq", real: "Resistance", imaginary: "Reactance", unit: ohm}   # or mohm
    where the job's files differ in unit, write it into the headings of each instead, as Zre (mohm), Zim (mohm)`},
		{"headings that job.yaml names for others", "col1,col2,col3\n" + good, Columns{Frequency: "Kanal A", Real: "Kanal B", Imaginary: "Kanal C", Unit: "ohm"}, `
a.csv:1:1: no known heading for frequency, real part Z', imaginary part Z'' among "col1", "col2", "col3"
    job.yaml's columns hold for all files and name the headings of others: rename this file's to frequency_hz, z_real_ohm, z_imag_ohm`},
		{"sign of headings that tell no sign", "f (Hz),Kanal B,Kanal C\n" + bad, Columns{Real: "Kanal B", Imaginary: "Kanal C", Unit: "ohm"}, `
a.csv:1:16: heading "Kanal C" gives Z'', by which the cell would be inductive at low frequency; no cell is
    job.yaml needs:  columns: {real: "Kanal B", imaginary: "Kanal C", unit: ohm, imaginary_sign: "-"}
    where the job's other files are right as they are, mark this file's heading instead, as -Zim (ohm)`},
		{"settings of job.yaml", "frequency_hz,z_real_ohm,z_imag_ohm\n" + good, Columns{Unit: "ohms per cell"}, `
a.csv: unit "ohms per cell" in job.yaml's columns; ohm, mohm or kohm (or Ω, mΩ, kΩ) are allowed`},
		{"sign of job.yaml", "frequency_hz,z_real_ohm,z_imag_ohm\n" + good, Columns{ImaginarySign: "minus"}, `
a.csv: imaginary_sign "minus" in job.yaml's columns; "+" and "-" are allowed`},

		{"values", "frequency_hz,z_real_ohm,z_imag_ohm\n0,1,-1\n-5,1,-1\n1e10,1,-1\n,1,-1\n5,one,NaN\n6,inf,0x10\n7,1e400,1 000\n8,0,0\n9,1e13,0\n10,1e-12,0\n11,1e-400,0\n12,1\n", Columns{}, `
a.csv:2:1: frequency_hz: "0": a frequency above 0, from 1e-9 to 1e9 Hz, is needed
a.csv:3:1: frequency_hz: "-5": a frequency above 0, from 1e-9 to 1e9 Hz, is needed
a.csv:4:1: frequency_hz: "1e10": a frequency above 0, from 1e-9 to 1e9 Hz, is needed
a.csv:5:1: frequency_hz: blank where a number is needed
a.csv:6:3: z_real_ohm: "one" where a number is needed
a.csv:6:7: z_imag_ohm: "NaN" where a number is needed
a.csv:7:3: z_real_ohm: "inf" where a number is needed
a.csv:7:7: z_imag_ohm: "0x10" where a number is needed
a.csv:8:3: z_real_ohm: "1e400" is beyond the range of numbers
a.csv:8:9: z_imag_ohm: "1 000" where a number is needed
a.csv:9:3: z_real_ohm: "0": an impedance of 0 ohm; a point that was not measured must be left out
a.csv:10:3: z_real_ohm: "1e13": an impedance of 1e+13 ohm; 1e-9 to 1e12 ohm are allowed
a.csv:11:4: z_real_ohm: "1e-12": an impedance of 1e-12 ohm; 1e-9 to 1e12 ohm are allowed
a.csv:12:4: z_real_ohm: "1e-400": an impedance of 0 ohm; a point that was not measured must be left out
a.csv:13:5: z_imag_ohm: blank where a number is needed`},
		{"polar values", "frequency_hz,|Z| (mohm),phase (deg)\n1,-5,0\n2,1e-7,0\n3,5,361\n", Columns{}, `
a.csv:2:3: |Z| (mohm): "-5": a modulus is never negative
a.csv:3:3: |Z| (mohm): "1e-7": an impedance of 1e-10 ohm; 1e-9 to 1e12 ohm are allowed
a.csv:4:5: phase (deg): "361": at most one turn, 360 deg or 2π rad, is allowed`},
		{"too few frequencies", "frequency_hz,z_real_ohm,z_imag_ohm\n10,1,-1\n10,1,-1\n1,1,-1\n", Columns{}, `
a.csv: 3 points at 2 frequencies; at least 3 frequencies are needed`},
		{"a record over time", "frequency_hz,z_real_ohm,z_imag_ohm\n" + strings.Repeat(good, mostPoints), Columns{}, `
a.csv: ` + fmt.Sprint(mostPoints*strings.Count(good, "\n")) + ` points; at most 5000 are allowed
    a sweep has 5 to 20 points a decade; see that the file holds one sweep, by frequency and not by time`},
		{"endless lines", "#\n" + strings.Repeat("\n", spectrumBounds.cells), Columns{}, `
a.csv: 500001 lines; at most 500000 are allowed
    see that it is the right file`},
		{"no rows", "frequency_hz,z_real_ohm,z_imag_ohm\n", Columns{}, `
a.csv: 0 points at 0 frequencies; at least 3 frequencies are needed`},

		{"decimal comma between commas", "frequency_hz,z_real_ohm,z_imag_ohm\n1000,5,0,0385,-0,001\n100,0,0385,-0,001\n", Columns{}, `
a.csv:2:10: row of 6 cells under a header of 3
    every column needs a name in the header; a text with a comma needs quotes: "like this, for example"; where numbers have a decimal comma, semicolon or tab must stand between the columns
a.csv:3:12: row of 5 cells under a header of 3
    every column needs a name in the header; a text with a comma needs quotes: "like this, for example"; where numbers have a decimal comma, semicolon or tab must stand between the columns`},
		{"thousands or fractions", "frequency_hz;z_real_ohm;z_imag_ohm\n10.000;0,0385;-0,001\n1.000;0,0390;-0,002\n100;0,0395;-0,003\n", Columns{}, `
a.csv:2:1: frequency_hz: "10.000" may mean a fraction or thousands, since decimal points and decimal commas both occur; one of them is needed throughout
a.csv:3:1: frequency_hz: "1.000" may mean a fraction or thousands, since decimal points and decimal commas both occur; one of them is needed throughout`},
		{"thousands and fractions", "frequency_hz;z_real_ohm;z_imag_ohm\n10.000,5;1,234;-0.001\n", Columns{}, `
a.csv:2:1: frequency_hz: "10.000,5" where a number is needed
a.csv:2:10: z_real_ohm: "1,234" may mean a fraction or thousands, since decimal points and decimal commas both occur; one of them is needed throughout`},
		{"error of a spreadsheet", "frequency_hz,z_real_ohm,z_imag_ohm\n#DIV/0!,1,-1\n" + good, Columns{}, `
a.csv:2:1: frequency_hz: "#DIV/0!" where a number is needed`},

		{"empty", "", Columns{}, `
a.csv: empty; a header row and rows of values are needed`},
		{"comments only", "# a\n\n#b\n", Columns{}, `
a.csv: empty; a header row and rows of values are needed`},
		{"no header", "# frequency_hz,z_real_ohm,z_imag_ohm\n" + good, Columns{}, `
a.csv:2:1: the first row holds numbers; a header row must stand above them
    if line 1 is the header row, remove the # before it`},
		{"text above the header", "Cell tester 7\nfrequency_hz,z_real_ohm,z_imag_ohm\n" + good, Columns{}, `
a.csv:1:1: header row "Cell tester 7" has no comma, semicolon or tab between columns
    part the columns by commas, semicolons or tabs; put # before each line that stands above the header row`},
		{"blanks between columns", "frequency_hz  z_real_ohm  z_imag_ohm\n1 2 3\n", Columns{}, `
a.csv:1:1: header row "frequency_hz  z_real_ohm  z_imag_ohm" has no comma, semicolon or tab between columns
    part the columns by commas, semicolons or tabs; put # before each line that stands above the header row`},
		{"open quotation", "frequency_hz,z_real_ohm,z_imag_ohm\nx,1,2\n5,\"0.5,-1\n6,1,-1\n", Columns{}, `
a.csv:2:1: frequency_hz: "x" where a number is needed
a.csv:3:3: a quotation mark opens a cell here and none closes it`},
		{"text after a quotation", "frequency_hz,z_real_ohm,z_imag_ohm\n\"5\" Hz,1,2\n5,y,-1\n", Columns{}, `
a.csv:2:1: "Hz" after the closing quotation mark of a cell; a mark inside it must be doubled
a.csv:3:3: z_real_ohm: "y" where a number is needed`},
		{"no text", "frequency_hz\x00,z", Columns{}, `
a.csv:1:13: an invisible control character (U+0000), as in files that are no text; delimited text or an .xlsx workbook is needed
    save or export the file as text (CSV), or type the line anew where it is text`},
		{"angular frequency that job.yaml names", "omega (rad/s),z_real_ohm,z_imag_ohm\n" + good, Columns{Frequency: "omega (rad/s)"}, `
a.csv:1:1: heading "omega (rad/s)" is that of an angular frequency, 2π times the one in Hz; the frequency in Hz, kHz or mHz is needed
    convert the column, or name another one in job.yaml's columns`},
		{"angular frequency without more", "ω/s⁻¹,z_real_ohm,z_imag_ohm\n" + good, Columns{}, `
a.csv:1:1: no known heading for frequency among "ω/s⁻¹", "z_real_ohm", "z_imag_ohm"; "ω/s⁻¹" is that of an angular frequency, 2π times the one in Hz
    job.yaml needs:  columns: {frequency: "heading of the frequency"}`},
		{"logarithm of the frequency", "log f,z_real_ohm,z_imag_ohm\n" + good, Columns{Frequency: "log f"}, `
a.csv:1:1: heading "log f" is that of a logarithm; the frequency in Hz, kHz or mHz is needed
    convert the column, or name another one in job.yaml's columns`},
		{"resistance of an area", "frequency_hz,R (Ω·cm²),X (Ω·cm²)\n" + good, Columns{Real: "R (Ω·cm²)", Imaginary: "X (Ω·cm²)", Unit: "ohm"}, `
a.csv:1:14: heading "R (Ω·cm²)" is that of a resistance times an area; the real part Z' in ohm, mohm or kohm (or Ω, mΩ, kΩ) is needed
    convert the column, or name another one in job.yaml's columns
a.csv:1:24: heading "X (Ω·cm²)" is that of a resistance times an area; the imaginary part Z'' in ohm, mohm or kohm (or Ω, mΩ, kΩ) is needed
    convert the column, or name another one in job.yaml's columns`},
		{"columns count characters", "frequency_hz,ΩΩ,z_real_ohm,z_imag_ohm\n1,ΩΩΩΩ,x,y\n", Columns{}, `
a.csv:2:8: z_real_ohm: "x" where a number is needed
a.csv:2:10: z_imag_ohm: "y" where a number is needed`},
		{"long texts", "frequency_hz,z_real_ohm,z_imag_ohm\n1," + strings.Repeat("Ω", 500) + ",2\n", Columns{}, `
a.csv:2:3: z_real_ohm: "` + strings.Repeat("Ω", 39) + `…" where a number is needed`},
	} {
		t.Run(test.name, func(t *testing.T) {
			s, err := Read("a.csv", []byte(test.text), test.columns)
			if err == nil {
				t.Fatalf("read as %v %v", s.Frequency, s.Impedance)
			}
			if s != nil {
				t.Error("a spectrum together with an error")
			}
			if got := "\n" + err.Error(); got != test.want {
				t.Errorf("found%s\n\nwanted%s", got, test.want)
			}
		})
	}
}

// The line that a refusal gives makes the file readable.
func TestRemediesMend(t *testing.T) {
	for _, test := range []struct {
		text    string
		columns Columns
	}{
		{"f,Z',Z''\n" + good, Columns{Frequency: "f", Unit: "ohm"}},
		{"f,Z',Z''\n" + bad, Columns{Frequency: "f", Unit: "ohm", ImaginarySign: "-"}},
		{"frequency_hz,z_real_ohm,z_imag_ohm\n" + bad, Columns{ImaginarySign: "-"}},
		{"frequency_hz,Z' (ohm),-Z'' (ohm)\n" + good, Columns{ImaginarySign: "+"}},
		{"frequncy_hz,z_real_ohm,z_imag_ohm\n" + good, Columns{Frequency: "frequncy_hz"}},
		{"frequency_hz,Z' (ohm),Zre (ohm),Z'' (ohm)\n" + strings.ReplaceAll(good, ",-", ",9,-"), Columns{Real: "Z' (ohm)"}},
	} {
		_, err := Read("a.csv", []byte(test.text), Columns{})
		if err == nil || !strings.Contains(err.Error(), test.columns.String()) {
			t.Errorf("%s\nis not mended by %v: %v", test.text, test.columns, err)
			continue
		}
		s, err := Read("a.csv", []byte(test.text), test.columns)
		if err != nil {
			t.Errorf("with %v: %v", test.columns, err)
			continue
		}
		want, err := Read("a.csv", []byte("frequency_hz,z_real_ohm,z_imag_ohm\n"+good), Columns{})
		if err != nil {
			t.Fatal(err)
		}
		equal(t, s, want, 0)
	}
}

// Only the first faults are listed, the rest are counted.
func TestManyFaults(t *testing.T) {
	_, err := Read("a.csv", []byte("frequency_hz,z_real_ohm,z_imag_ohm\n"+strings.Repeat("x,1,1\n", 3000)), Columns{})
	faults, ok := err.(Errors)
	if !ok || len(faults) != listedFaults+1 {
		t.Fatalf("%T of %d", err, len(faults))
	}
	if got, want := faults[listedFaults].Error(), "a.csv: 2950 more faults of this file are not listed"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestBounds(t *testing.T) {
	for name, test := range map[string]struct{ text, want string }{
		"file":    {strings.Repeat("x", spectrumBounds.bytes+1), "a.csv: file of 16777217 bytes; at most 16777216 are allowed"},
		"columns": {strings.Repeat("x,", maxColumns) + "x\n", "a.csv:1:1: a row of over 1000 cells"},
		"cell":    {"a,b\n" + strings.Repeat("x", maxCellBytes+1) + ",1\n", "a.csv:2:1: a cell of 32768 bytes; at most 32767 are allowed"},
		"rows":    {"a,b\n" + strings.Repeat("1,2\n", spectrumBounds.cells/2+1), "a.csv:250002:1: row 250001 of 2 columns; at most 500000 cells are allowed"},
	} {
		if _, err := Read("a.csv", []byte(test.text), Columns{}); err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := ReadTable("a.csv", make([]byte, tableBounds.bytes+1)); err == nil {
		t.Error("a table beyond all bounds is read")
	}
}
