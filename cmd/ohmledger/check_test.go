package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"
)

// checking runs the command in the folder of a test and holds its exit code.
func checking(t *testing.T, code int, args ...string) (out, err string) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	if got := run(append([]string{"check"}, args...), &stdout, &stderr); got != code {
		t.Fatalf("check %q: exit code %d, want %d\n%s%s", args, got, code, stdout.String(), stderr.String())
	}
	return stdout.String(), stderr.String()
}

// says fails where a text lacks a pattern. Lines are broken anywhere.
func says(t *testing.T, text string, patterns ...string) {
	t.Helper()
	joined := strings.Join(strings.Fields(text), " ")
	for _, p := range patterns {
		if !regexp.MustCompile(p).MatchString(joined) {
			t.Errorf("no %q in:\n%s", p, text)
		}
	}
}

// Of every planted fault the verdict comes first; then what was seen, how big, what it most likely is, and what to do, in this
// order; and the caution where there is something to do at the cell.
func TestCheckSpectrum(t *testing.T) {
	t.Chdir(t.TempDir())
	caution := "Insulate free clips .* shorted cell .* swollen, hot or leaking.* Local safety rules come first"
	for name, c := range map[string]struct {
		bench
		code int
		says []string
	}{
		"sound":     {bench{noise: 1e-3}, 0, []string{`^Worth keeping: sound.csv 61 points, 10 kHz to 10 mHz`, `ohmic resistance 2\d\.\d+\(\d+\) mΩ`, "Not judged.*wiring.*ohmledger check JOB"}},
		"longleads": {bench{noise: 1e-3, leadsOhm: 0.042, leadsH: 5e-6}, 0, []string{`^Worth keeping, with warnings: .*warning The leads have a large inductance\. 5\.\d+.µH.*straight wire.*Most likely long leads.*A report does not judge because of it: a\.c\. resistance at 1 kHz.*What to do: Twist`, caution}},
		"mains":     {bench{noise: 1e-3, mains: true}, 0, []string{`^Worth keeping, with warnings: .*warning Points near the mains.*at 50\.1.Hz lies .*predicted by the others.*Most likely pick-up of 50.Hz.*What to do: Twist.*grounded shield`, caution}},
		"drift":     {bench{noise: 1e-3, drift: 0.2}, 0, []string{`^Worth keeping, with warnings: .*warning The cell changed while it was measured.*during the sweep.*Most likely it still relaxed.*What to do: Let it rest`, caution}},
		"aborted":   {bench{noise: 1e-3, lowest: 100}, 0, []string{`^Worth keeping, with warnings: .*arc.*What to do:`, caution}},
		"noisy":     {bench{noise: 3e-2}, 0, []string{`^Worth keeping, with warnings: .*warning The points scatter\. By \d.*Most likely .*What to do: Press the clips on`, caution}},
		"noise":     {bench{noise: 0.5}, 1, []string{`^Not worth keeping: .*reject The spectrum cannot be that of a cell at rest.*What to do: Press the clips on`, caution}},
	} {
		measured(t, ".", map[string]bench{name + ".csv": c.bench})
		out, _ := checking(t, c.code, name+".csv")
		says(t, out, c.says...)
		if name == "sound" && strings.Contains(out, "Insulate") {
			t.Error("a caution where nothing is to be done")
		}
		if strings.Contains(out, "\x1b") {
			t.Error("colour, and no terminal")
		}
	}
}

// Two wires of 1 m of AWG 18, there and back 1 m, add 42 mΩ and some 3 µH (from the AWG formula and the resistivity of annealed
// copper at 20 °C, NBS Handbook 100; E. B. Rosa, Bulletin of the Bureau of Standards 4 (1908) 301): the shift is found within
// its uncertainty, and taken for wiring. A clip adds tenths of a milliohm (common practice).
func TestComparePair(t *testing.T) {
	t.Chdir(t.TempDir())
	measured(t, ".", map[string]bench{
		"four.csv": {noise: 3e-4, seed: 1}, "two.csv": {noise: 3e-4, seed: 2, leadsOhm: 0.0419, leadsH: 3e-6},
		"clip.csv": {noise: 3e-4, seed: 3, leadsOhm: 0.0005}, "again.csv": {noise: 3e-4, seed: 4},
		"warm.csv": {noise: 3e-4, seed: 5, arc: 0.8}, "loud.csv": {noise: 6e-3, seed: 6}, "mains.csv": {noise: 3e-4, seed: 7, mains: true},
		"both.csv": {noise: 3e-4, seed: 8, leadsOhm: 0.008, arc: 1.148},
	})
	for name, c := range map[string]struct {
		ohm  float64
		code string
		says string
	}{
		"two.csv":   {0.0419, "wiring", `^A Worth keeping: four\.csv B Worth keeping, with warnings: two\.csv The curve is moved along the real axis, with the same shape.*two wires.*What to do: Keep the four-wire.*shift along the real axis .*\+4[12]\.\d+\(\d+\).mΩ`},
		"clip.csv":  {0.0005, "contact", `Most likely clips or tabs.*\+0\.\d+\(\d+\).mΩ`},
		"again.csv": {0, "alike", `The two measurements agree`},
		"warm.csv":  {0, "cell-changed", `The arcs changed\. By −\d.*No clip or lead changes an arc`},
		"both.csv":  {0.008, "contact-besides", `the ohmic resistance by more than goes with that.*Most likely two causes: temperature for the arcs, and for \+7\.\d+.mΩ clips.*What to do: Bring both to one temperature.*No clip or lead changes an arc; but`},
		"loud.csv":  {0, "noise", `The points scatter differently.*noise, as a part of \|Z\| 0\.0\d+.% 0\.\d+.%`},
		"mains.csv": {0, "pick-up", `Only B has points off near the mains frequency`},
	} {
		out, _ := checking(t, 0, "four.csv", name)
		says(t, out, c.says, "Insulate free clips")
		shift, difference := shiftOf(t, "four.csv", name)
		if off := shift.Value - c.ohm; off > 5*shift.U || off < -5*shift.U {
			t.Errorf("%s: shift %v, planted %v", name, shift, c.ohm)
		}
		if difference != c.code {
			t.Errorf("%s: %s comes first, want %s", name, difference, c.code)
		}
	}
	out, _ := checking(t, 0, "two.csv", "four.csv")
	says(t, out, `−4[12]\.\d+\(\d+\).mΩ`, "fitted together", "if both had four, a clip or tab.*If both had four wires, sand")
	keep(t, "kilo.csv", bench{noise: 1e-3}.text("frequency_hz,Z' (kohm),Z'' (kohm)"))
	out, _ = checking(t, 0, "four.csv", "kilo.csv")
	if says(t, out, "The two are not compared"); strings.Contains(out, "fitted together") {
		t.Error(out)
	}
}

type estimate struct {
	Value float64 `json:"value"`
	U     float64 `json:"standard_uncertainty"`
}

// shiftOf compares two files and gives the shift and the first difference.
func shiftOf(t *testing.T, a, b string) (shift estimate, difference string) {
	t.Helper()
	out, _ := checking(t, 0, "--json", a, b)
	var d struct {
		Comparison struct {
			Shift       estimate `json:"shift_ohm"`
			Differences []struct {
				Code string `json:"code"`
			} `json:"differences"`
		} `json:"comparison"`
	}
	if err := json.Unmarshal([]byte(out), &d); err != nil {
		t.Fatal(err)
	}
	return d.Comparison.Shift, d.Comparison.Differences[0].Code
}

// What does not go together is refused in words, and nothing is written.
func TestCheckRefuses(t *testing.T) {
	t.Chdir(t.TempDir())
	measured(t, ".", map[string]bench{"a.csv": {noise: 1e-3}, "b.csv": {noise: 1e-3, seed: 1}, "r.csv": {noise: 1e-3, reversed: true}})
	keep(t, "job/job.yaml", []byte("cell: {}\n"))
	keep(t, "job/spectra/x.csv", []byte("x\n"))
	keep(t, "words.csv", []byte("frequency_hz,z_real_ohm,z_imag_ohm\n1000,0.02,-0.001\n100,twenty,-0.002\n"))
	keep(t, "large.csv", bytes.Repeat([]byte("1,2,3\n"), mostBytes/6+2))
	for want, args := range map[string][]string{
		"name what to check":                          {},
		"there is no file or folder nowhere":          {"nowhere"},
		"3 were named":                                {"a.csv", "b.csv", "r.csv"},
		"is a folder; two spectra are compared":       {"a.csv", "job"},
		"are the same file":                           {"a.csv", "./a.csv"},
		"--figure draws two spectra":                  {"a.csv", "--figure", "f.svg"},
		`allowed: .svg, .png, .pdf`:                   {"a.csv", "b.csv", "--figure", "f.gif"},
		"is one of the spectra":                       {"a.csv", "b.csv", "--figure", "linked.svg"},
		"f.svg is a file; name a folder":              {"a.csv", "b.csv", "--figure", "a.csv/f.svg"},
		"leave out a.csv":                             {"a.csv", "--watch", "."},
		"leave out a.csv and b.csv":                   {"a.csv", "b.csv", "--watch", "."},
		"there is no folder nowhere to watch":         {"--watch", "nowhere"},
		"ohmledger check a.csv":                       {"--watch", "a.csv"},
		"ohmledger check --watch job/spectra":         {"--watch", "job"},
		"ohmledger check job":                         {"job/job.yaml"},
		"did you mean frequency":                      {"a.csv", "--columns", "frequenzy=f"},
		"--columns is for spectra outside of a job":   {"job", "--columns", "unit=ohm"},
		`unit "furlong" in --columns`:                 {"a.csv", "--columns", "unit=furlong"},
		"words.csv:3:5: .*twenty":                     {"words.csv"},
		"larger than a spectrum can be":               {"large.csv"},
		`add to the command: --columns "imaginary_si`: {"r.csv"},
	} {
		if err := os.Link("a.csv", "linked.svg"); err != nil && !os.IsExist(err) {
			t.Fatal(err)
		}
		if want == "f.svg is a file; name a folder" {
			want = "a.csv is a file; name a folder"
		}
		out, err := checking(t, exitRefused, args...)
		says(t, err, "^ohmledger: ", want)
		if out != "" {
			t.Errorf("%q says %q beside refusing", args, out)
		}
	}
}

// The faults of both files come at once.
func TestBothFaults(t *testing.T) {
	t.Chdir(t.TempDir())
	keep(t, "a.csv", []byte("frequency_hz,z_real_ohm,z_imag_ohm\n1000,a,-0.001\n"))
	keep(t, "b.csv", []byte("frequency_hz,z_real_ohm,z_imag_ohm\n1000,b,-0.001\n"))
	_, err := checking(t, exitRefused, "a.csv", "b.csv")
	says(t, err, "a.csv:2:6: ", "b.csv:2:6: ")
}

// What a refusal says to add makes the file readable.
func TestRemedyWorks(t *testing.T) {
	t.Chdir(t.TempDir())
	for headings, given := range map[string]string{
		"frequency,real,imaginary":         "",
		`freq / Hz,Re(Z),"Im {Z}, upward"`: `--columns "imaginary=Im {Z}, upward"`,
	} {
		keep(t, "odd.csv", bench{noise: 1e-3}.text(headings))
		args := []string{"odd.csv"}
		for range 4 { // one remedy may bring up the next
			var stdout, stderr bytes.Buffer
			code := run(append([]string{"check"}, args...), &stdout, &stderr)
			if code == exitDone {
				break
			}
			flags := regexp.MustCompile(`add to the command:  (.*?)(   # or mohm)?\n`).FindStringSubmatch(stderr.String() + "\n")
			if given != "" {
				flags, given = []string{"", given}, ""
			}
			if code != exitRefused || flags == nil {
				t.Fatalf("%q: exit code %d: %s", headings, code, stderr.String())
			}
			args = []string{"odd.csv"}
			for _, flag := range regexp.MustCompile(`--columns ("(?:[^"\\]|\\.)*"|\S+)`).FindAllStringSubmatch(flags[1], -1) {
				text := flag[1]
				if plain, err := strconv.Unquote(text); err == nil {
					text = plain
				}
				args = append(args, "--columns", text)
			}
		}
		checking(t, exitDone, args...)
	}
}

// The figure is drawn in each of its forms, again over the old one, and the same bytes again.
func TestFigureOfPair(t *testing.T) {
	t.Chdir(t.TempDir())
	measured(t, ".", map[string]bench{"a.csv": {noise: 1e-3}, "b.csv": {noise: 1e-3, seed: 1, leadsOhm: 0.001}})
	for ending, head := range map[string]string{"svg": "<?xml", "png": "\x89PNG", "pdf": "%PDF", "PDF": "%PDF"} {
		name := filepath.Join("figures", "f."+ending)
		out, _ := checking(t, exitDone, "a.csv", "b.csv", "--figure", name)
		says(t, out, "Figure: "+name)
		first := must(os.ReadFile(name))
		checking(t, exitDone, "a.csv", "b.csv", "--figure", name)
		if !bytes.HasPrefix(first, []byte(head)) || !bytes.Equal(first, must(os.ReadFile(name))) {
			t.Errorf("%s begins %.8q, or is another one the second time", name, first)
		}
	}
	entries := must(os.ReadDir("figures"))
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), ".") {
			t.Errorf("%s was left", e.Name())
		}
	}
}

// One spectrum is checked within 0.2 s, by the clock on the wall and for the whole process. The best of some runs counts, as
// others use the machine too.
func TestCheckIsQuick(t *testing.T) {
	if raceDetected {
		t.Skip("the race detector is slow")
	}
	const allowed = 200 * time.Millisecond
	t.Chdir(t.TempDir())
	measured(t, ".", map[string]bench{"a.csv": {noise: 1e-3}})
	best := time.Hour
	for range 20 {
		began := time.Now()
		if text, err := program("check", "a.csv").CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, text)
		}
		if best = min(best, time.Since(began)); best < allowed/4 {
			break
		}
	}
	t.Logf("%v", best)
	if best > allowed {
		t.Errorf("%v, allowed are %v", best, allowed)
	}
}
