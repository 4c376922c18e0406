package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/fsnotify/fsnotify"

	"ohmledger/report"
	"ohmledger/templates"
)

// paper is where a watch writes while a test reads.
type paper struct {
	lock sync.Mutex
	text bytes.Buffer
}

func (p *paper) Write(b []byte) (int, error) {
	p.lock.Lock()
	defer p.lock.Unlock()
	return p.text.Write(b)
}

// lines are those that stand there now.
func (p *paper) lines() []string {
	p.lock.Lock()
	defer p.lock.Unlock()
	return strings.Split(strings.TrimSuffix(p.text.String(), "\n"), "\n")
}

// watched is a watch at work on a folder.
type watched struct {
	out, err paper
	folder   string
	end      func() // ends it and waits for that
}

// await waits until a line begins in a way, and gives it.
func (w *watched) await(t *testing.T, beginning string) string {
	t.Helper()
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
		for _, line := range w.out.lines() {
			if strings.HasPrefix(line, beginning) {
				return line
			}
		}
	}
	t.Fatalf("no line begins %q:\n%s\n%s", beginning, strings.Join(w.out.lines(), "\n"), strings.Join(w.err.lines(), "\n"))
	return ""
}

// silent is a file system without events.
func silent(string) (<-chan fsnotify.Event, func()) { return nil, func() {} }

// watching starts the command on a folder at a hurried pace, and returns when it has looked through the folder once.
func watching(t *testing.T, folder string, c checkCommand, events func(string) (<-chan fsnotify.Event, func())) *watched {
	t.Helper()
	w := &watched{folder: folder}
	words, err := report.ReadWords(templates.FS(), "en", nil, "")
	if err != nil {
		t.Fatal(err)
	}
	c.Watch = folder
	follow := (&check{checkCommand: &c, con: newConsole(&w.out, &w.err), words: words}).watcher()
	follow.pace = pace{settle: 40 * time.Millisecond, longest: 400 * time.Millisecond, patience: 150 * time.Millisecond, poll: 30 * time.Millisecond}
	follow.events = events
	ready, done := make(chan int, 1), make(chan bool)
	follow.ready = func(there int) { ready <- there }
	ctx, cancel := context.WithCancel(t.Context())
	go func() { follow.run(ctx); close(done) }()
	w.end = func() { cancel(); <-done }
	t.Cleanup(w.end)
	<-ready
	return w
}

// lands puts a file into the watched folder.
func (w *watched) lands(t *testing.T, name string, data []byte) {
	t.Helper()
	keep(t, filepath.Join(w.folder, name), data)
}

var (
	soundText = bench{noise: 1e-3}.text(nativeHeadings)
	mainsText = bench{noise: 1e-3, mains: true}.text(nativeHeadings)
)

// Files are checked as they land, with events and without; each has one line, the verdict first.
func TestWatch(t *testing.T) {
	for name, events := range map[string]func(string) (<-chan fsnotify.Event, func()){"events": eventsOf, "polling": silent} {
		t.Run(name, func(t *testing.T) {
			folder := t.TempDir()
			keep(t, filepath.Join(folder, "before.csv"), soundText)
			w := watching(t, folder, checkCommand{}, events)
			w.lands(t, "notes.txt", []byte("clips sanded, cell 4\n"))
			w.lands(t, "photo.png", mainsText)
			w.lands(t, ".hidden.csv", soundText)
			w.lands(t, "~$open.xlsx", soundText)
			w.lands(t, "empty.csv", nil)
			w.lands(t, "measurements.csv", []byte("cell,file,measured_at,temperature_c\n1,1,1,1\n2,2,2,2\n3,3,3,3\n"))
			w.lands(t, "deeper/inner.csv", soundText)
			w.lands(t, "sound.csv", soundText)
			says(t, w.await(t, "Worth keeping: sound.csv: "), `61 points, 10.kHz to 10.mHz; `)
			w.lands(t, "mains.csv", mainsText)
			says(t, w.await(t, "Worth keeping, with warnings: mains.csv: "), `Points near the mains.*at 50\.1.Hz.* → Twist`)
			w.lands(t, "broken.csv", []byte(nativeHeadings+"\n1000,x,-1\n100,y,-2\n10,3,-3\n1,3,-3\n0.1,3,-3\n"))
			says(t, w.await(t, "Not read: broken.csv: "), `"x".*\(1 more fault\) → ohmledger check .*broken\.csv`)
			w.lands(t, "sound.csv", bench{noise: 0.5}.text(nativeHeadings))
			w.await(t, "Not worth keeping: sound.csv: ")
			says(t, w.await(t, "Not read: empty.csv: "), `empty`)
			w.end()
			if lines := w.out.lines(); len(lines) != 6 || strings.Count(strings.Join(lines, "\n"), "Insulate free clips") != 1 {
				t.Errorf("%d lines, want 6:\n%s", len(lines), strings.Join(lines, "\n"))
			}
			if got := w.err.lines(); got[0] != "" {
				t.Errorf("complaints: %q", got)
			}
		})
	}
}

// A file that is still being written is waited for: one line when it is whole, and none before.
func TestWatchWaitsForTheWhole(t *testing.T) {
	w := watching(t, t.TempDir(), checkCommand{}, eventsOf)
	whole := bench{noise: 1e-3}.text(nativeHeadings)
	f := must(os.Create(filepath.Join(w.folder, "slow.csv")))
	defer f.Close()
	for rest := whole; len(rest) > 0; {
		n := min(len(rest), len(whole)/25+1)
		must(f.Write(rest[:n]))
		rest = rest[n:]
		time.Sleep(20 * time.Millisecond)
	}
	w.await(t, "Worth keeping: slow.csv: 61 points")
	w.end()
	if lines := w.out.lines(); len(lines) != 1 {
		t.Errorf("%q", lines)
	}
}

// Point by point, slower than a file is waited for at first.
func TestWatchWaitsForTheNextPoint(t *testing.T) {
	w := &watch{pace: pace{settle: 40, longest: 400}, files: map[string]*landing{}}
	start := time.Unix(0, 0)
	grow := func(at time.Duration, size int64) time.Duration {
		w.note("a", sizeAt{size, start.Add(at)}, start.Add(at))
		return w.files["a"].settle
	}
	for i, c := range []struct{ at, want time.Duration }{{0, 40}, {10, 40}, {60, 100}, {120, 120}, {300, 360}, {600, 400}, {2000, 40}} {
		if got := grow(c.at, int64(i)); got != c.want {
			t.Errorf("a change after %d ns is waited out for %d ns, want %d", c.at, got, c.want)
		}
	}
}

// sizeAt is a file of a size that was changed at a time.
type sizeAt struct {
	size int64
	at   time.Time
}

func (s sizeAt) Name() string       { return "a" }
func (s sizeAt) Size() int64        { return s.size }
func (s sizeAt) Mode() os.FileMode  { return 0 }
func (s sizeAt) ModTime() time.Time { return s.at }
func (s sizeAt) IsDir() bool        { return false }
func (s sizeAt) Sys() any           { return nil }

// A file that is completed after it was checked is checked again.
func TestWatchChecksAgain(t *testing.T) {
	w := watching(t, t.TempDir(), checkCommand{}, eventsOf)
	w.lands(t, "a.csv", soundText[:bytes.LastIndexByte(soundText[:1200], '\n')+1])
	w.await(t, "Worth keeping, with warnings: a.csv")
	w.lands(t, "a.csv", soundText)
	w.await(t, "Worth keeping: a.csv: 61 points")
}

// What cannot be read is told with what makes it readable.
func TestWatchTellsTheRemedy(t *testing.T) {
	w := watching(t, t.TempDir(), checkCommand{}, eventsOf)
	w.lands(t, "a.csv", []byte("freq / Hz,Re(Z),Im(Z)\n1000,20,-1\n100,21,-2\n10,22,-3\n1,23,-3\n"))
	says(t, w.await(t, "Not read: a.csv: "), `no known unit.* → add to the command: .*--columns "?unit=ohm`)
}

// A half-written file that cannot be read is tried again, and nothing is said about it if it comes whole.
func TestWatchTriesAgain(t *testing.T) {
	w := watching(t, t.TempDir(), checkCommand{}, eventsOf)
	half := append(bytes.Clone(mainsText[:900]), 'x') // ends within a number
	w.lands(t, "a.csv", half)
	time.Sleep(80 * time.Millisecond) // it settles, and cannot be read
	w.lands(t, "a.csv", mainsText)
	w.await(t, "Worth keeping, with warnings: a.csv")
	w.end()
	if lines := w.out.lines(); len(lines) != 2 || !strings.HasPrefix(lines[1], "Insulate free clips") {
		t.Errorf("%q", lines)
	}
}

// With --json each line is a document of the schema, of files that cannot be read too.
func TestWatchAsJSON(t *testing.T) {
	w := watching(t, t.TempDir(), checkCommand{JSON: true, Columns: map[string]string{"imaginary_sign": "-"}}, eventsOf)
	w.lands(t, "reversed.csv", bench{noise: 1e-3, reversed: true}.text(nativeHeadings))
	w.await(t, "{")
	w.lands(t, "broken.csv", []byte(nativeHeadings+"\n1000,x,1\n100,2,2\n10,3,3\n1,3,3\n"))
	for len(w.out.lines()) < 2 {
		time.Sleep(5 * time.Millisecond)
	}
	w.end()
	verdicts := []worth{sound, unread}
	for i, line := range w.out.lines() {
		validCheck(t, []byte(line))
		var d checkDocument
		if err := json.Unmarshal([]byte(line), &d); err != nil {
			t.Fatal(err)
		}
		if d.Verdict != verdicts[i] || len(d.Faults) != i {
			t.Errorf("%s", line)
		}
	}
}

// A folder that goes is complained about once; what lands when it is back is checked.
func TestWatchedFolderGoes(t *testing.T) {
	w := watching(t, filepath.Join(t.TempDir(), ""), checkCommand{}, silent)
	if err := os.Rename(w.folder, w.folder+"-away"); err != nil {
		t.Fatal(err)
	}
	for w.err.lines()[0] == "" {
		time.Sleep(5 * time.Millisecond)
	}
	time.Sleep(100 * time.Millisecond)
	if err := os.Rename(w.folder+"-away", w.folder); err != nil {
		t.Fatal(err)
	}
	w.lands(t, "a.csv", soundText)
	w.await(t, "Worth keeping: a.csv")
	w.end()
	if lines := w.err.lines(); len(lines) != 1 || !strings.Contains(lines[0], "cannot be read: no such file") {
		t.Errorf("%q", lines)
	}
}

// An interrupt ends the watch with exit code 0.
func TestWatchIsInterrupted(t *testing.T) {
	folder := t.TempDir()
	cmd := program("check", "--watch", folder)
	var out, err paper
	cmd.Stdout, cmd.Stderr = &out, &err
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	w := &watched{folder: folder}
	for i := 0; out.lines()[0] == ""; i++ { // files that are there at first are not checked
		w.lands(t, "a"+strings.Repeat("a", i)+".csv", soundText)
		time.Sleep(time.Second)
	}
	if err := cmd.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	if err := cmd.Wait(); err != nil {
		t.Errorf("%v", err)
	}
	if got := err.lines(); got[0] != "" {
		t.Errorf("complaints: %q", got)
	}
}

// What is no spectrum is passed over; what looks like one and cannot be read is not.
func TestSomethingElse(t *testing.T) {
	for text, want := range map[string]bool{
		"":                          true,
		"notes\nof the day\n":       true,
		"a,b\n1,2\n3,4\n5,6\n7,8\n": true,
		"a b c\n1 2 3\n4 5 6\n":     true,
		"cell;file;measured_at\n1;2;3\n1;2;3\n1;2;3\n":                 true,
		"a;b;c\n1,5;2,5;3\n1;2;3\n1e3;−2;3\n":                          false,
		"f,x,y\n1000,0.02,-0.001\n100,1,2\n10,2,3\n":                   false,
		"frequency_hz,z_real_ohm\n1000,1\n100,2\n10,3\n":               false, // an imaginary part is missing
		"frequency_hz,z_real_ohm,z_imag_ohm\n100,1,-1\n10,2,-1\n":      false, // two points
		"frequency_hz,z_real_ohm,z_imag_ohm\nno contact\n":             false,
		"Freq (Hz);a;b\n1;2;3\n":                                       false,
		"frequency, temperature and rest were seen to,\nall fine\n":    true,
		"f\tx\ty\n\"broken\n1000\t0.02\t-0.001\n100\t1\t2\n10\t2\t3\n": false,
	} {
		if got := isSomethingElse("a.csv", []byte(text)); got != want {
			t.Errorf("%q: %v, want %v", text, got, want)
		}
	}
	for name, want := range map[string]bool{"a.csv": true, "A.CSV": true, "a.xlsx": true, "a.txt": true, "a.pdf": false, "a": false,
		".a.csv": false, "~$a.xlsx": false, "a.csv.part": false, "a.csv~": false, "": false} {
		if got := mayBeSpectrum(name); got != want {
			t.Errorf("%q: %v, want %v", name, got, want)
		}
	}
}
