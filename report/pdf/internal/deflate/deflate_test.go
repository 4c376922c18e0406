package deflate

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"math/rand/v2"
	"strings"
	"testing"
)

// plain is what a reader makes of it.
func plain(t *testing.T, compressed []byte) []byte {
	t.Helper()
	r, err := zlib.NewReader(bytes.NewReader(compressed))
	if err != nil {
		t.Fatal(err)
	}
	b, err := io.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// numbers is a text of so many marks at invented places, as drawings have them.
func numbers(n int) string {
	r := rand.New(rand.NewPCG(7, 11))
	var b strings.Builder
	for range n {
		fmt.Fprintf(&b, "1 0 0 1 %d %d cm /%c Do ", r.IntN(90)-45, r.IntN(300), 'a'+r.IntN(3))
	}
	return b.String()
}

// noise is bytes that nothing foretells.
func noise(n int) string {
	r := rand.New(rand.NewPCG(1, 2))
	b := make([]byte, n)
	for i := range b {
		b[i] = byte(r.Uint32())
	}
	return string(b)
}

func TestReadersGetWhatWasSaid(t *testing.T) {
	for name, text := range map[string]string{
		"nothing": "", "a byte": "a", "three": "aaa", "a few": "abcabcabcd",
		"zeros": strings.Repeat("\x00", 3*stretch), "numbers": numbers(9000), "noise": noise(2*stretch + 1),
		"far apart":     noise(window) + noise(window),
		"farther apart": noise(window+1) + noise(window+1),
		"two kinds":     numbers(2000) + noise(5000) + numbers(2000),
		"a stretch":     numbers(4000)[:stretch],
	} {
		if got := plain(t, Compress([]byte(text))); string(got) != text {
			t.Errorf("%s: %d bytes in place of %d, or others", name, len(got), len(text))
		}
	}
}

// TestShorterThanInHaste: what the library's own makes of a drawing is longer, as that takes the next long repetition and not the one
// that leads to the cheapest whole.
func TestShorterThanInHaste(t *testing.T) {
	text := []byte(numbers(3000))
	var b bytes.Buffer
	w, err := zlib.NewWriterLevel(&b, zlib.BestCompression)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := w.Write(text); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	if got := len(Compress(text)); got > b.Len()*95/100 {
		t.Errorf("%d bytes; the library's own %d", got, b.Len())
	}
}

// TestSayingNothingCosts: noise takes no more than its own length and one part in a hundred.
func TestSayingNothingCosts(t *testing.T) {
	text := noise(stretch)
	if got := len(Compress([]byte(text))); got > len(text)*101/100 {
		t.Errorf("%d bytes of %d", got, len(text))
	}
}

func FuzzCompress(f *testing.F) {
	for _, text := range []string{"", "a", "abcabcabcabc", numbers(20), noise(40)} {
		f.Add([]byte(text), 1)
	}
	f.Fuzz(func(t *testing.T, text []byte, times int) {
		text = bytes.Repeat(text, max(1, min(times, 1<<17/(len(text)+1))))
		if got := plain(t, Compress(text)); !bytes.Equal(got, text) {
			t.Errorf("%d bytes in place of %d, or others", len(got), len(text))
		}
	})
}
