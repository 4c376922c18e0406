package pdf

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"testing"
)

// What is long goes aside and comes back whole, as often as it is asked for; what is short, or has no room, stays.
func TestSpillGivesBackWhatItWasGiven(t *testing.T) {
	for name, c := range map[string]struct {
		pieces int
		room   bool
		files  int
	}{"short": {1, true, 0}, "long": {3, true, 1}, "no room": {3, false, 0}} {
		files := 0
		var s spill
		if c.room {
			s.aside = func() (io.ReadWriteSeeker, error) {
				files++
				return os.Create(filepath.Join(t.TempDir(), "aside"))
			}
		}
		var want []byte
		for i := range c.pieces {
			piece := bytes.Repeat([]byte{byte('a' + i)}, mostHeld/2+i)
			want = append(want, piece...)
			if n, err := s.Write(piece); n != len(piece) || err != nil {
				t.Fatalf("%s: %d bytes, %v", name, n, err)
			}
		}
		for range 2 {
			var got bytes.Buffer
			if n, err := s.WriteTo(&got); err != nil || n != int64(len(want)) || s.size != n || !bytes.Equal(got.Bytes(), want) {
				t.Errorf("%s: %d of %d bytes, %v", name, n, len(want), err)
			}
		}
		if files != c.files {
			t.Errorf("%s: %d files", name, files)
		}
	}
}
