package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"ohmledger/health"
	"ohmledger/report"
	"ohmledger/templates"
)

// lawful is a job of chance: some cells of the demonstration, some of their measurements, some rule and limits.
type lawful struct {
	random *rand.Rand
	job    string
	header []string
	rows   [][]string
}

func chance(t *testing.T, seed uint64) *lawful {
	t.Helper()
	demo := must(fs.Sub(templates.FS(), "demo"))
	l := &lawful{random: rand.New(rand.NewPCG(seed, 7)), job: string(must(fs.ReadFile(demo, "job.yaml")))}
	all := must(csv.NewReader(bytes.NewReader(must(fs.ReadFile(demo, "measurements.csv")))).ReadAll())
	l.header = all[0]
	cells := l.random.Perm(8)[:3]
	for _, row := range all[1:] {
		cell := must(strconv.Atoi(strings.TrimPrefix(row[0], "TM-0"))) - 1
		if slices.Contains(cells, cell) && l.random.IntN(4) > 0 {
			l.rows = append(l.rows, row)
		}
	}
	l.set("kind: guarded", "kind: "+[]string{"simple", "guarded", "four-way"}[l.random.IntN(3)])
	l.set("charge_transfer_growth, max: 2.0}\n", fmt.Sprintf("charge_transfer_growth, max: %.3f}\n", 1.4+1.6*l.random.Float64()))
	l.set("capacity_retention, min: 0.80}\n", fmt.Sprintf("capacity_retention, min: %.3f}\n", 0.6+0.3*l.random.Float64()))
	return l
}

func (l *lawful) set(old, new string) { l.job = strings.Replace(l.job, old, new, 1) }

// judged judges the job; spell rewrites each spectrum's text.
func (l *lawful) judged(t *testing.T, spell func(text string) string) (*health.Assessment, []byte) {
	t.Helper()
	folder := fstest.MapFS{"job.yaml": {Data: []byte(l.job)}}
	var table bytes.Buffer
	w := csv.NewWriter(&table)
	w.Write(l.header)
	w.WriteAll(l.rows)
	folder["measurements.csv"] = &fstest.MapFile{Data: table.Bytes()}
	for _, row := range l.rows {
		text := string(must(fs.ReadFile(templates.FS(), "demo/"+row[1])))
		folder[row[1]] = &fstest.MapFile{Data: []byte(spell(text))}
	}
	_, d, err := order{}.judged(context.Background(), folder, &meter{})
	if err != nil {
		t.Fatal(err)
	}
	var results bytes.Buffer
	if err := report.WriteResults(&results, d); err != nil {
		t.Fatal(err)
	}
	return d.Assessment, results.Bytes()
}

func asWritten(text string) string { return text }

// spokenOf are the cells of results.json by name, without the digests of their files.
func spokenOf(t *testing.T, results []byte) map[string]any {
	t.Helper()
	var all struct{ Cells []map[string]any }
	if err := json.Unmarshal(results, &all); err != nil {
		t.Fatal(err)
	}
	cells := map[string]any{}
	for _, c := range all.Cells {
		for _, m := range c["measurements"].([]any) {
			delete(m.(map[string]any), "sha256")
		}
		cells[c["cell"].(string)] = c
	}
	return cells
}

// spellingsOfSpectra are ways to write the same spectrum.
var spellingsOfSpectra = map[string]func(text string) string{
	"milliohms and the negative imaginary part": func(text string) string {
		return respelled(text, "f/Hz,Z'/mΩ,-Z''/mΩ", ",", func(cells []string) []string {
			return []string{cells[0], shifted(cells[1], 3), negative(shifted(cells[2], 3))}
		})
	},
	"semicolons and decimal commas": func(text string) string {
		return respelled(text, "Freq (Hz);Zre (ohm);Zim (ohm)", ";", func(cells []string) []string {
			return strings.Split(strings.ReplaceAll(strings.Join(cells, ";"), ".", ","), ";")
		})
	},
	"Windows, kilohertz and tabs": func(text string) string {
		return "\ufeff" + strings.ReplaceAll(respelled(text, "z_imag_ohm\tfrequency (kHz)\tz_real_ohm", "\t", func(cells []string) []string {
			return []string{cells[2], shifted(cells[0], -3), cells[1]}
		}), "\n", "\r\n")
	},
}

// respelled writes the rows of a spectrum anew, without its comments. One that is not written natively stays.
func respelled(text, header, delimiter string, row func(cells []string) []string) string {
	if !strings.Contains(text, "frequency_hz,z_real_ohm,z_imag_ohm") {
		return text
	}
	lines := []string{header}
	for _, line := range strings.Split(strings.TrimSpace(text), "\n") {
		if cells := strings.Split(line, ","); len(cells) == 3 && line[0] != '#' && cells[0] != "frequency_hz" {
			lines = append(lines, strings.Join(row(cells), delimiter))
		}
	}
	return strings.Join(lines, "\n") + "\n"
}

func shifted(number string, places int) string { return number + "e" + strconv.Itoa(places) }

func negative(number string) string {
	if rest, is := strings.CutPrefix(number, "-"); is {
		return rest
	}
	return "-" + number
}

// Rows in another order, spectra in another dialect, and other cells beside it leave what is said of a cell as it is.
func TestOrderDialectAndCompanyChangeNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("what runs side by side in it does in the scripts of TestCommands too")
	}
	for seed := range jobsOfChance() {
		l := chance(t, seed)
		_, first := l.judged(t, asWritten)
		want := spokenOf(t, first)
		if _, again := l.judged(t, asWritten); !bytes.Equal(first, again) {
			t.Fatalf("seed %d: twice the same job, two results", seed)
		}
		same := func(what string, got map[string]any) {
			for name, cell := range got {
				if !reflect.DeepEqual(want[name], cell) {
					t.Errorf("seed %d: %s changes %s:\n%v\n%v", seed, what, name, want[name], cell)
				}
			}
		}
		for name, spell := range spellingsOfSpectra {
			_, got := l.judged(t, spell)
			same(name, spokenOf(t, got))
		}
		shuffled := *l
		shuffled.rows = slices.Clone(l.rows)
		l.random.Shuffle(len(l.rows), func(i, j int) { shuffled.rows[i], shuffled.rows[j] = shuffled.rows[j], shuffled.rows[i] })
		_, got := shuffled.judged(t, asWritten)
		same("the order of rows", spokenOf(t, got))
		alone := *l
		alone.rows = slices.DeleteFunc(slices.Clone(l.rows), func(row []string) bool { return row[0] != l.rows[0][0] })
		_, got = alone.judged(t, asWritten)
		same("company", spokenOf(t, got))
	}
}

// jobsOfChance are the seeds that are tried.
func jobsOfChance() map[uint64]bool {
	if testing.Short() {
		return map[uint64]bool{1: true}
	}
	return map[uint64]bool{1: true, 2: true, 3: true, 4: true}
}

// rank of a verdict, better ones higher. What was not evaluated may yet fail by another limit, and never pass.
var rank = map[health.Verdict]int{health.Fail: 1, health.ConditionalFail: 2, health.NotEvaluated: 3, health.ConditionalPass: 4, health.Pass: 5}

// A stricter limit, a larger coverage factor or a guard band never improve a verdict or a grade.
func TestStricterNeverImproves(t *testing.T) {
	worse := 0
	for seed := range jobsOfChance() {
		l := chance(t, seed)
		loose, _ := l.judged(t, asWritten)
		for what, change := range map[string]func(job string) string{
			"limits":           tightened,
			"coverage factors": func(job string) string { return strings.Replace(job, "coverage_factor: 2", "coverage_factor: 3.5", 1) },
			"rules":            func(job string) string { return strings.Replace(job, "kind: simple", "kind: guarded", 1) },
		} {
			strict := *l
			strict.job = change(l.job)
			got, _ := strict.judged(t, asWritten)
			for i := range loose.Cells.Len() {
				before, after := loose.Cells.At(i), got.Cells.At(i)
				if rank[after.Verdict] > rank[before.Verdict] {
					t.Errorf("seed %d: stricter %s turn %s from %v to %v", seed, what, before.Name, before.Verdict, after.Verdict)
				}
				if rank[after.Verdict] < rank[before.Verdict] {
					worse++
				}
				if gradeRank(after.Grade) > gradeRank(before.Grade) {
					t.Errorf("seed %d: stricter %s raise %s from grade %q to %q", seed, what, before.Name, before.Grade, after.Grade)
				}
			}
		}
	}
	if worse == 0 && !testing.Short() {
		t.Error("nothing changed any verdict")
	}
}

// tightened lowers each upper limit by a third.
func tightened(job string) string {
	parts := strings.Split(job, "max: ")
	for i, part := range parts[1:] {
		end := strings.IndexAny(part, "},")
		parts[i+1] = fmt.Sprintf("%.4f", 0.67*must(strconv.ParseFloat(part[:end], 64))) + part[end:]
	}
	return strings.Join(parts, "max: ")
}

func gradeRank(grade string) int { return map[string]int{"B": 1, "A": 2}[grade] }
