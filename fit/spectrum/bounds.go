package spectrum

import (
	"archive/zip"
	"bytes"
	"errors"
	"io"
)

// bounds of what is read lie far above any honest file and keep a wrong or hostile one from taking
// the machine's memory and time.
type bounds struct {
	bytes    int // of the file
	cells    int // rows times columns
	unzipped int // bytes of a workbook's parts together; a row of 20 cells takes about 1 kB
	tags     int // of XML in a workbook; a cell takes about 4
}

var (
	tableBounds    = bounds{bytes: 64 << 20, cells: 5_000_000, unzipped: 64 << 20, tags: 3_000_000}
	spectrumBounds = bounds{bytes: 16 << 20, cells: 500_000, unzipped: 16 << 20, tags: 500_000}
)

const (
	maxColumns   = 1_000
	keptComments = 1_000
	maxCellBytes = 32_767 // as a workbook's cell
)

// checkZip unpacks an archive to nowhere, since what it says of its size may be false.
func (b bounds) checkZip(data []byte) error {
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return err
	}
	left := tagCounter{bytes: b.unzipped, tags: b.tags}
	for _, part := range archive.File {
		r, err := part.Open()
		if err != nil {
			return err
		}
		if _, err := io.Copy(&left, r); err != nil {
			return err
		}
	}
	return nil
}

var errUnpacked = errors.New("a workbook that unpacks to more than any table of this kind")

// tagCounter fails when the bytes or tags that are left have been written to it.
type tagCounter struct{ bytes, tags int }

func (c *tagCounter) Write(p []byte) (int, error) {
	c.bytes -= len(p)
	c.tags -= bytes.Count(p, []byte("<"))
	if c.bytes < 0 || c.tags < 0 {
		return 0, errUnpacked
	}
	return len(p), nil
}
