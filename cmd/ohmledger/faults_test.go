//go:build linux || darwin

package main

import (
	"bytes"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"golang.org/x/text/unicode/norm"

	"ohmledger/templates"
)

// asProgram is a link to this test by the name of the program, by which it knows what it is to be.
func asProgram(t *testing.T) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "ohmledger")
	if err := os.Symlink(must(os.Executable()), name); err != nil {
		t.Fatal(err)
	}
	return name
}

// shell runs a script in which $0 is the program, and gives what it says on standard error.
func shell(t *testing.T, script string, args ...string) (code int, told string) {
	t.Helper()
	cmd := exec.Command("sh", append([]string{"-c", script, asProgram(t)}, args...)...)
	var err bytes.Buffer
	cmd.Stderr = &err
	cmd.Run()
	return cmd.ProcessState.ExitCode(), err.String()
}

// A file that cannot grow, as on a full disk: the old report stays whole, the message says so, and nothing is left behind.
func TestNoRoomForTheReport(t *testing.T) {
	if testing.Short() {
		t.Skip("what runs side by side in it does in the scripts of TestCommands too")
	}
	bench := reported(t)
	out := filepath.Join(bench, "report")
	before, tree := contents(t, out), treeOf(t, bench)
	code, told := shell(t, `ulimit -f 24 && exec "$0" report "$1" --cells none`, bench)
	if code != exitBroken || !strings.Contains(told, "file too large; nothing was written, and what there was before is as it was") {
		t.Errorf("exit code %d: %s", code, told)
	}
	if !maps.Equal(before, contents(t, out)) || strings.Join(tree, "\n") != strings.Join(treeOf(t, bench), "\n") {
		t.Error("the folder changed")
	}
}

// A starter that has no room is not begun, so that it can be tried again, beside other files or not.
func TestNoRoomForTheStarter(t *testing.T) {
	for _, beside := range []bool{false, true} {
		bench := filepath.Join(t.TempDir(), "bench")
		if beside {
			keep(t, filepath.Join(bench, "note"), []byte("mine"))
		}
		tree := treeOf(t, filepath.Dir(bench))
		for _, blocks := range []string{"1", "8", "16"} {
			code, told := shell(t, `ulimit -f `+blocks+` && exec "$0" new "$1"`, bench)
			if code != exitBroken || !strings.Contains(told, "nothing was written, and what there was before is as it was") {
				t.Errorf("exit code %d: %s", code, told)
			}
			if after := treeOf(t, filepath.Dir(bench)); strings.Join(tree, "\n") != strings.Join(after, "\n") {
				t.Errorf("the folder changed to %s", strings.Join(after, "\n"))
			}
		}
		if code, told := shell(t, `exec "$0" new "$1"`, bench); code != exitDone {
			t.Errorf("once more: exit code %d: %s", code, told)
		}
	}
}

// A session in which too few files may be open says so, and does not blame the spectra.
func TestTooFewFiles(t *testing.T) {
	bench := reported(t)
	tree := treeOf(t, bench)
	for _, files := range []string{"8", "12", "24"} {
		code, told := shell(t, `exec 3>&- 4>&- 5>&- 6>&- 7>&- 8>&- 9>&-; ulimit -n `+files+` && exec "$0" report "$1"`, bench)
		if code != exitBroken || !strings.Contains(told, "too few files may be open in this session") || strings.Count(told, "\n") != 1 {
			t.Errorf("exit code %d: %s", code, told)
		}
	}
	if strings.Join(tree, "\n") != strings.Join(treeOf(t, bench), "\n") {
		t.Error("the folder changed")
	}
}

// What cannot be printed is no success.
func TestNoRoomForTheWords(t *testing.T) {
	if testing.Short() {
		t.Skip("what runs side by side in it does in the scripts of TestCommands too")
	}
	if _, err := os.Stat("/dev/full"); err != nil {
		t.Skip("this system has no /dev/full")
	}
	bench := reported(t)
	for _, args := range []string{`check "$1"`, `check --json "$1"`, `verify "$1/report"`, `verify --json "$1/report"`, `report "$1"`, "version"} {
		if code, told := shell(t, `exec "$0" `+args+` >/dev/full`, bench); code != exitBroken || !strings.Contains(told, "no space left") {
			t.Errorf("%s: exit code %d: %s", args, code, told)
		}
	}
}

// A session with too little memory is refused before anything is begun.
func TestTooLittleMemory(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("only Linux limits what it says it limits")
	}
	bench := reported(t)
	tree := treeOf(t, bench)
	code, told := shell(t, `ulimit -v 2000000 && exec "$0" report "$1"`, bench)
	if code != exitBroken || !strings.Contains(told, "limited to 1953 MB") || strings.Contains(told, "goroutine") {
		t.Errorf("exit code %d: %s", code, told)
	}
	if strings.Join(tree, "\n") != strings.Join(treeOf(t, bench), "\n") {
		t.Error("the folder changed")
	}
}

// A session whose memory does not suffice ends in one line too, though Go has many for it. A report of nothing, a gigabyte long,
// is too much here.
func TestMemoryUsedUp(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("only Linux limits what it says it limits")
	}
	if testing.Short() {
		t.Skip("the race detector, which runs with -short, takes more than the limit for itself")
	}
	bench := reported(t)
	out := filepath.Join(bench, "report")
	if err := os.Truncate(filepath.Join(out, bookName), 1<<30); err != nil {
		t.Fatal(err)
	}
	code, told := shell(t, `ulimit -v 2200000 && exec "$0" verify "$1"`, out)
	if code != exitBroken || !strings.Contains(told, "limited to 2148 MB") || strings.Count(told, "\n") != 1 {
		t.Errorf("exit code %d: %.2000s", code, told)
	}
	for args, want := range map[string]int{"version": exitDone, `check "$1"`: exitDone, "reprot": exitRefused} {
		if code, told := shell(t, `ulimit -v 4000000 && exec "$0" `+args, bench); code != want {
			t.Errorf("%s: exit code %d: %s", args, code, told)
		}
	}
}

// Neither the time zone nor the language of the session, nor where the program is started from, change a byte.
func TestSessionsAlike(t *testing.T) {
	if testing.Short() {
		t.Skip("what runs side by side in it does in the scripts of TestCommands too")
	}
	bench := reported(t)
	want := contents(t, filepath.Join(bench, "report"))
	for i, setup := range []string{
		`TZ=Pacific/Kiritimati LC_ALL=de_DE.UTF-8 LANG=de_DE.UTF-8 "$0" report "$1" -o "$2"`,
		`TZ=America/St_Johns LC_ALL=tr_TR.UTF-8 SOURCE_DATE_EPOCH=1 "$0" report "$1" -o "$2"`,
		`cd "$1" && LC_ALL=C TZ= GOMAXPROCS=1 "$0" report . -o "$2"`,
		`cd "$1/spectra" && umask 077 && HOME=/nowhere TERM=dumb NO_COLOR=1 "$0" report .. -o "$2"`,
	} {
		out := filepath.Join(t.TempDir(), "out")
		if code, told := shell(t, setup, bench, out); code != exitDone {
			t.Fatalf("%s: exit code %d: %s", setup, code, told)
		}
		if got := contents(t, out); !maps.Equal(want, got) {
			t.Errorf("session %d gives another report", i)
		}
	}
}

// Names of files may hold blanks, quotes, accents in either of Unicode's forms, and what other programs take for options.
func TestUnusualNames(t *testing.T) {
	if testing.Short() {
		t.Skip("what runs side by side in it does in the scripts of TestCommands too")
	}
	for i, name := range []string{"a b", "it's", `say "so"`, norm.NFC.String("Zelle für Prüfung"), norm.NFD.String("Zelle für Prüfung"), "電池", "-o", "100%d", "{{.}}", "$HOME", "🔋"} {
		top := t.TempDir()
		bench := filepath.Join(top, name)
		starter := must(fs.Sub(templates.FS(), "job"))
		table := string(must(fs.ReadFile(starter, "measurements.csv")))
		table = strings.NewReplacer("spectra/A1_new.csv", `"spectra/`+strings.ReplaceAll(name, `"`, `""`)+`.csv"`).Replace(table)
		keep(t, filepath.Join(bench, "job.yaml"), must(fs.ReadFile(starter, "job.yaml")))
		keep(t, filepath.Join(bench, "measurements.csv"), []byte(table))
		keep(t, filepath.Join(bench, "spectra", name+".csv"), must(fs.ReadFile(starter, "spectra/A1_new.csv")))
		keep(t, filepath.Join(bench, "spectra", "A1_aged.csv"), must(fs.ReadFile(starter, "spectra/A1_aged.csv")))
		out := filepath.Join(bench, "out "+name)
		report := []string{"report", bench, "-o", out, "--cells", "none"}
		if i == 0 {
			report = append(report, "--figures", filepath.Join(top, "figures "+name))
		}
		for _, args := range [][]string{report, {"verify", out, "--job", bench}, {"check", bench}} {
			var told bytes.Buffer
			if code := run(args, &told, &told); code != exitDone {
				t.Errorf("%q: %v: exit code %d: %s", name, args[0], code, &told)
			}
		}
	}
}

// Where the report cannot go is said before anything is read or made.
func TestPlacesThatCannotBe(t *testing.T) {
	bench := reported(t)
	top := filepath.Dir(bench)
	loop := filepath.Join(top, "loop")
	inside, nothing := filepath.Join(top, "inside"), filepath.Join(top, "nothing")
	for link, target := range map[string]string{loop: loop, nothing: filepath.Join(top, "nowhere"), inside: filepath.Join(bench, "spectra")} {
		if err := os.Symlink(target, link); err != nil {
			t.Fatal(err)
		}
	}
	tree := treeOf(t, top)
	for _, args := range [][]string{
		{"report", loop}, {"check", loop}, {"verify", loop}, {"report", bench, "-o", loop}, {"report", bench, "-o", nothing}, {"report", bench, "-o", filepath.Join(nothing, "out")}, {"report", "/dev/null"}, {"check", "/dev/zero"},
		{"report", bench, "-o", bench}, {"report", bench, "-o", filepath.Join(bench, "spectra")}, {"report", bench, "-o", inside}, {"report", bench, "-o", top},
		{"report", bench, "-o", filepath.Join(bench, "job.yaml")}, {"report", bench, "-o", filepath.Join(bench, "job.yaml", "x")}, {"report", bench, "-o", "/dev/null"},
		{"report", bench, "--figures", filepath.Join(bench, "spectra", "..", "spectra")}, {"report", bench, "--figures", bench}, {"report", ""}, {"report", bench, "-o", "a\x00b"},
	} {
		var told bytes.Buffer
		code := run(args, &told, &told)
		if code != exitRefused || traced.MatchString(told.String()) {
			t.Errorf("%q: exit code %d: %s", args, code, &told)
		}
	}
	if strings.Join(tree, "\n") != strings.Join(treeOf(t, top), "\n") {
		t.Error("a folder changed")
	}
}
