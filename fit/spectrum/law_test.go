package spectrum

import (
	"bytes"
	"encoding/csv"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// Reading does not depend on how a spectrum is written down: delimiter, decimal sign, quotes, blanks,
// encoding, line ends, unit, sign, order of columns and of points, comments, text or workbook.
func TestSameSpectrumHoweverWritten(t *testing.T) {
	if testing.Short() {
		t.Skip("numbers alone: nothing runs side by side that does not in other tests")
	}
	random := rand.New(rand.NewPCG(1, 7))
	for range 500 {
		want := randomSpectrum(random)
		w := randomWriting(random)
		data := w.bytes(t, want, random)
		got, err := Read(w.name, data, Columns{})
		if err != nil {
			t.Fatalf("%+v\n%s\n%v", w, data, err)
		}
		equal(t, got, want, 0)
		if t.Failed() {
			t.Fatalf("%+v\n%s", w, data)
		}
	}
}

// randomSpectrum has values of few digits, so that a change of unit is exact in decimal. Z” < 0.
func randomSpectrum(random *rand.Rand) *Spectrum {
	s := &Spectrum{}
	few := func(most int) float64 { return float64(1 + random.IntN(most)) }
	for i := range 3 + random.IntN(20) {
		s.Frequency = append(s.Frequency, math.Round(1e6/math.Pow(1.7, float64(i)))/100)
		s.Impedance = append(s.Impedance, complex(few(99999)/1e6, -few(99999)/1e6))
	}
	return s
}

// writing is one of the ways to write a spectrum down.
type writing struct {
	name      string
	headings  [3]string
	shift     [3]int // of the decimal point, from SI
	negative  bool
	delimiter string
	comma     bool
	quoted    bool
	comments  bool
	shuffled  bool
	end       string
	to        encoding.Encoding
}

func randomWriting(random *rand.Rand) writing {
	pick := func(n int) int { return random.IntN(n) }
	f := pick(3)
	z := pick(3)
	w := writing{
		name:      []string{"a.csv", "a.txt", "a.xlsx"}[pick(3)],
		shift:     [3]int{[]int{0, -3, 3}[f], []int{0, 3, -3}[z], []int{0, 3, -3}[z]},
		negative:  pick(2) == 0,
		delimiter: []string{",", ";", "\t"}[pick(3)],
		comma:     pick(2) == 0,
		quoted:    pick(2) == 0,
		comments:  pick(2) == 0,
		shuffled:  pick(2) == 0,
		end:       []string{"\n", "\r\n", "\r"}[pick(3)],
		to: []encoding.Encoding{unicode.UTF8, unicode.UTF8BOM, charmap.Windows1252,
			unicode.UTF16(unicode.LittleEndian, unicode.UseBOM), unicode.UTF16(unicode.BigEndian, unicode.UseBOM)}[pick(5)],
	}
	w.headings = [3]string{"f (" + []string{"Hz", "kHz", "mHz"}[f] + ")", "Z' / " + []string{"ohm", "mohm", "kohm"}[z], "Im(Z) [" + []string{"Ohm", "mOhm", "kOhm"}[z] + "]"}
	if w.negative {
		w.headings[2] = "-" + w.headings[2]
	}
	return w
}

func (w writing) bytes(t *testing.T, s *Spectrum, random *rand.Rand) []byte {
	t.Helper()
	columns, points := []int{0, 1, 2}, make([]int, len(s.Frequency))
	for i := range points {
		points[i] = i
	}
	if w.shuffled {
		random.Shuffle(3, func(i, j int) { columns[i], columns[j] = columns[j], columns[i] })
		random.Shuffle(len(points), func(i, j int) { points[i], points[j] = points[j], points[i] })
	}
	rows := [][]string{{"x;,", "", ""}}
	for j, c := range columns {
		rows[0][j] = w.headings[c]
	}
	for _, i := range points {
		row := make([]string, 3)
		for j, c := range columns {
			row[j] = w.number([]float64{s.Frequency[i], real(s.Impedance[i]), imag(s.Impedance[i])}[c], c)
		}
		rows = append(rows, row)
	}
	if w.name == "a.xlsx" {
		return w.workbook(t, rows)
	}
	return w.textBytes(t, rows)
}

// number shifts the decimal point in the digits, without arithmetic.
func (w writing) number(v float64, column int) string {
	if column == 2 && w.negative {
		v = -v
	}
	text := strconv.FormatFloat(v, 'e', -1, 64)
	mantissa, exponent, _ := strings.Cut(text, "e")
	n, _ := strconv.Atoi(exponent)
	return mantissa + "E" + strconv.Itoa(n+w.shift[column])
}

func (w writing) textBytes(t *testing.T, rows [][]string) []byte {
	t.Helper()
	var b strings.Builder
	for i, row := range rows {
		if w.comments {
			b.WriteString("# \"said; in, passing\n\n")
		}
		cells := slices.Clone(row)
		for j, cell := range cells {
			if w.comma && i > 0 && (w.delimiter != "," || w.quoted) {
				cells[j] = strings.Replace(cell, ".", ",", 1)
			}
			if w.quoted {
				cells[j] = ` "` + cells[j] + `" `
			}
		}
		b.WriteString(strings.Join(cells, w.delimiter) + "\n")
	}
	data, err := w.to.NewEncoder().Bytes([]byte(strings.ReplaceAll(b.String(), "\n", w.end)))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func (w writing) workbook(t *testing.T, rows [][]string) []byte {
	t.Helper()
	var cells [][]any
	for i, row := range rows {
		if w.comments {
			cells = append(cells, []any{"# said in passing"}, nil)
		}
		values := make([]any, len(row))
		for j, text := range row {
			values[j] = text
			if i > 0 && !w.quoted {
				values[j], _ = strconv.ParseFloat(text, 64)
			}
		}
		cells = append(cells, values)
	}
	return workbook(t, false, cells...)
}

// What is written natively reads back with every bit.
func TestWriteReadsBack(t *testing.T) {
	random := rand.New(rand.NewPCG(2, 7))
	for range 200 {
		want := &Spectrum{}
		for i := range 5 + random.IntN(60) {
			want.Frequency = append(want.Frequency, math.Exp(11-float64(i)/4-random.Float64()/5))
			want.Impedance = append(want.Impedance, complex(random.NormFloat64(), -random.ExpFloat64()))
		}
		var b bytes.Buffer
		if err := Write(&b, want); err != nil {
			t.Fatal(err)
		}
		got, err := Read("a.csv", b.Bytes(), Columns{})
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(got.Frequency, want.Frequency) || !slices.Equal(got.Impedance, want.Impedance) {
			t.Fatalf("%v %v, want %v %v", got.Frequency, got.Impedance, want.Frequency, want.Impedance)
		}
	}
}

type fullDisk struct{}

var errFull = errors.New("full")

func (fullDisk) Write([]byte) (int, error) { return 0, errFull }

func TestWriteFails(t *testing.T) {
	if err := Write(fullDisk{}, example()); !errors.Is(err, errFull) {
		t.Errorf("error %v", err)
	}
}

// Well-formed text has the cells that encoding/csv of the standard library finds in it.
func TestCellsAsInStandardLibrary(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 7))
	const letters = "ab1.\",;\tΩ\n #é"
	for range 2000 {
		delimiter := []rune(delimiters)[random.IntN(3)]
		records := randomRecords(random, []rune(letters))
		var b bytes.Buffer
		w := csv.NewWriter(&b)
		w.Comma = delimiter
		if err := w.WriteAll(records); err != nil {
			t.Fatal(err)
		}
		text := "sep=" + string(delimiter) + "\n" + b.String()
		table, err := ReadTable("a.csv", []byte(text))
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		if len(table.Rows) != len(records)-1 {
			t.Fatalf("%q: %d rows, want %d", text, len(table.Rows), len(records)-1)
		}
		for i, record := range records[1:] {
			for j, want := range record {
				if got := table.Rows[i].Cells[j].Text; got != strings.TrimSpace(want) {
					t.Fatalf("%q: row %d cell %d: %q, want %q", text, i, j, got, want)
				}
			}
		}
	}
}

// randomRecords makes rows that are neither blank nor comments, beneath a header.
func randomRecords(random *rand.Rand, letters []rune) [][]string {
	width := 2 + random.IntN(3)
	records := [][]string{slices.Repeat([]string{"head"}, width)}
	for range random.IntN(5) {
		record := []string{"x"}
		for len(record) < width {
			var cell strings.Builder
			for range random.IntN(6) {
				cell.WriteRune(letters[random.IntN(len(letters))])
			}
			record = append(record, cell.String())
		}
		records = append(records, record)
	}
	return records
}
