package report

import (
	"crypto/sha256"
	"encoding/hex"
)

// Digest is the SHA-256 of a document's results.json, in lower-case hexadecimal. The other files of a report carry it, so
// that files of two reports are not taken for one.
func Digest(d *Document) (string, error) {
	sum := sha256.New()
	if err := WriteResults(sum, d); err != nil {
		return "", err
	}
	return hex.EncodeToString(sum.Sum(nil)), nil
}
