package xlsx

import (
	"archive/zip"
	"bytes"
	"fmt"
	"hash"
	"strings"

	"github.com/xuri/excelize/v2"
)

// A workbook carries two digests as properties of the document: that of the results.json beside it, and its seal, the
// SHA-256 of the archive up to the part that holds the properties. The seal shows that the file was changed, if only by
// being saved anew. It is no signature: whoever means harm can compute it too.
const (
	sealPart      = "docProps/custom.xml"
	digestName    = "results.json SHA-256"
	sealName      = "workbook SHA-256"
	digestLength  = 64
	localHeadSize = 30 // of a part, before its name (APPNOTE.TXT 4.3.7)
)

var unsealed = strings.Repeat("0", digestLength)

// seals are the two properties, the seal to be filled in when everything else stands.
func (b *book) seals() error {
	if err := b.file.SetCustomProps(excelize.CustomProperty{Name: digestName, Value: b.digest}); err != nil {
		return err
	}
	return b.file.SetCustomProps(excelize.CustomProperty{Name: sealName, Value: unsealed})
}

// seal fills in the digest of what has been written so far.
func (f *part) seal(archive *zip.Writer, sum hash.Hash) error {
	if err := archive.Flush(); err != nil {
		return err
	}
	content := bytes.Replace(f.content.Bytes(), []byte(unsealed), fmt.Appendf(nil, "%x", sum.Sum(nil)), 1)
	f.content.Reset()
	_, err := f.content.Write(content)
	return err
}
