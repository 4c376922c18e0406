package pdf

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"regexp"
	"slices"
	"strings"
)

// A report's file identifier (ISO 32000-1:2008, 14.4) is its seal: the SHA-256 of the file as it would be with zeros in the
// identifier's place. It shows that a file was changed, if only by being saved anew. It is no signature: whoever means
// harm can compute it too.
const sealLength = 2 * sha256.Size // hexadecimal digits

// identifierMark begins an identifier; it stands once, near the end.
const identifierMark = "/ID [<"

var identifierForm = regexp.MustCompile(`^/ID \[<[0-9a-f]*> ?<[0-9a-f]*>\]`)

// identifier is the entry: both strings are equal in a file that was written once.
func identifier(digits string) []byte { return []byte("/ID [<" + digits + "> <" + digits + ">]") }

var unsealed = identifier(strings.Repeat("0", sealLength))

// version is that of the format which a file needs whose attachment has its name in Unicode (/UF; ISO 32000-1:2008, table 44).
const version = "%PDF-1.7"

// seal gives a file its identifier in place of the one that it has.
func (f *file) seal() error {
	at := bytes.LastIndex(f.bytes, []byte(identifierMark))
	old := identifierForm.Find(f.bytes[max(at, 0):])
	if old == nil {
		panic("pdf: a file without an identifier")
	}
	f.bytes = slices.Concat(f.bytes[:at], unsealed, f.bytes[at+len(old):])
	copy(f.bytes, version)
	sum := sha256.New()
	if _, err := f.WriteTo(sum); err != nil {
		return err
	}
	copy(f.bytes[at:], identifier(hex.EncodeToString(sum.Sum(nil))))
	return nil
}

// sealOf computes the seal of a file that ends where it was first complete, and finds the one that it carries. Both are
// blank where it carries none.
func sealOf(b []byte) (computed, carried string) {
	at := bytes.LastIndex(b, []byte(identifierMark))
	if at < 0 || len(b) < at+len(unsealed) {
		return "", ""
	}
	end := at + len(unsealed)
	carried = string(b[at+len(identifierMark):][:sealLength])
	if !bytes.Equal(b[at:end], identifier(carried)) {
		return "", ""
	}
	sum := sha256.New()
	for _, part := range [][]byte{b[:at], unsealed, b[end:]} {
		sum.Write(part)
	}
	return hex.EncodeToString(sum.Sum(nil)), carried
}
