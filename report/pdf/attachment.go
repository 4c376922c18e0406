package pdf

import (
	"bytes"
	"crypto/md5"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"

	"ohmledger/report"
)

// attachment is results.json as it stands in the file: compressed while it is written, so that the whole of it, which
// for a large lot is most of a report, never stands in memory.
type attachment struct {
	deflated spill
	size     int64
	md5      string // as the format asks for it (ISO 32000-1:2008, table 46)
	sha256   string
}

func attachmentOf(d *report.Document, aside func() (io.ReadWriteSeeker, error)) (*attachment, error) {
	a := &attachment{deflated: spill{aside: aside}}
	if err := a.deflate(d); err != nil {
		return nil, err
	}
	return a, nil
}

func (a *attachment) deflate(d *report.Document) error {
	compressed := &sparing{to: &a.deflated}
	check, sum, size := md5.New(), sha256.New(), bytesWritten(0)
	if err := report.WriteResults(io.MultiWriter(compressed, check, sum, &size), d); err != nil {
		return err
	}
	a.size, a.md5, a.sha256 = int64(size), hex.EncodeToString(check.Sum(nil)), hex.EncodeToString(sum.Sum(nil))
	return compressed.close()
}

// bytesWritten counts the bytes that are written to it.
type bytesWritten int64

func (n *bytesWritten) Write(p []byte) (int, error) {
	*n += bytesWritten(len(p))
	return len(p), nil
}

// standIn is what fpdf is given to attach in the results' place.
var standIn = []byte(attachedName)

// embed puts the attachment where its stand-in is.
func (a *attachment) embed(objects []object) {
	for i := range objects {
		if o := &objects[i]; o.stream && bytes.HasPrefix(o.dictionary, []byte("<< /Type /EmbeddedFile ")) {
			o.dictionary = fmt.Appendf(nil, "<< /Type /EmbeddedFile /Length %d /Filter /FlateDecode /Params << /CheckSum <%s> /Size %d >> >>", a.deflated.size, a.md5, a.size)
			o.data, o.final, o.attached = nil, true, a
		}
	}
}
