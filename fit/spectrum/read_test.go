package spectrum

import (
	"os"
	"path/filepath"
	"testing"
)
func BenchmarkRead(b *testing.B) {
	data, err := os.ReadFile(filepath.Join("../../../shared/data", "coin-25c/spectra/25C01_V_c0001.csv"))
	if err != nil {
		b.Skip(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read("a.csv", data, Columns{}); err != nil {
			b.Fatal(err)
		}
	}
}
