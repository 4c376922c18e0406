package squeeze

import (
	"bytes"
	"compress/zlib"
	"io"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
)

// expanded is what another program reads.
func expanded(t testing.TB, small []byte) []byte {
	t.Helper()
	r, err := zlib.NewReader(bytes.NewReader(small))
	if err != nil {
		t.Fatal(err)
	}
	plain, err := io.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return plain
}

// drawing is a text as pages hold them.
func drawing(marks int) []byte {
	random := rand.New(rand.NewPCG(1, 2))
	var b strings.Builder
	for range marks {
		b.WriteString("1 0 0 1 " + strconv.Itoa(random.IntN(60)) + " " + strconv.Itoa(random.IntN(90)-40) + " cm/a Do ")
	}
	return []byte(b.String())
}

// TestZlibIsReadAndSmaller: what is compressed expands to the same, across blocks too, and texts take fewer bytes than with the
// slowest compression of compress/zlib.
func TestZlibIsReadAndSmaller(t *testing.T) {
	noise := make([]byte, 3000)
	random := rand.New(rand.NewPCG(3, 4))
	for i := range noise {
		noise[i] = byte(random.Uint32())
	}
	for name, plain := range map[string][]byte{
		"nothing": nil, "a byte": {7}, "two": {7, 7}, "zeros": make([]byte, 200_000), "noise": noise, "page": drawing(800),
		"blocks": drawing(8000), "whole block": drawing(8000)[:perBlock], "skewed": []byte(skewed()),
	} {
		small := Zlib(plain)
		if got := expanded(t, small); !bytes.Equal(got, plain) {
			t.Errorf("%s: expands to %d bytes that differ, want %d", name, len(got), len(plain))
		}
		var usual bytes.Buffer
		w, _ := zlib.NewWriterLevel(&usual, zlib.BestCompression)
		w.Write(plain)
		w.Close()
		if strings.Contains(name, "page") && len(small) > usual.Len()*98/100 {
			t.Errorf("%s: %d bytes, usually %d", name, len(small), usual.Len())
		}
	}
}

// skewed has bytes as often as Fibonacci's numbers say: Huffman's code for them is as long as a code can be.
func skewed() string {
	var b strings.Builder
	random := rand.New(rand.NewPCG(5, 6))
	counts := []int{1, 1}
	for len(counts) < 22 {
		counts = append(counts, counts[len(counts)-1]+counts[len(counts)-2])
	}
	for i, n := range counts {
		b.WriteString(strings.Repeat(string(rune('A'+i)), n))
	}
	shuffled := []byte(b.String())
	random.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
	return string(shuffled)
}

// TestCodeLengths: by hand, Huffman's lengths for 1, 1, 2, 4; no more than are allowed; Kraft's sum is 1.
func TestCodeLengths(t *testing.T) {
	for i, n := range codeLengths([]int{1, 0, 1, 2, 4}, 15) {
		if want := []int{3, 0, 3, 2, 1}[i]; n != want {
			t.Errorf("symbol %d has %d bits, want %d", i, n, want)
		}
	}
	counts := []int{1, 1}
	for len(counts) < 30 {
		counts = append(counts, counts[len(counts)-1]+counts[len(counts)-2])
	}
	kraft := 0.
	for i, n := range codeLengths(counts, 15) {
		if n < 1 || n > 15 {
			t.Errorf("symbol %d has %d bits", i, n)
		}
		kraft += 1 / float64(int(1)<<n)
	}
	if kraft != 1 {
		t.Errorf("the sum of Kraft is %v", kraft)
	}
}

// FuzzZlib states: what is compressed expands to the same.
func FuzzZlib(f *testing.F) {
	f.Add([]byte("1 0 0 1 7 8 cm/a Do 1 0 0 1 7 8 cm/a Do "))
	f.Fuzz(func(t *testing.T, plain []byte) {
		if got := expanded(t, Zlib(plain)); !bytes.Equal(got, plain) {
			t.Errorf("%q became %q", plain, got)
		}
	})
}
