package part

import (
	"bufio"
	"bytes"
	"compress/flate"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"io"

	"ohmledger/health"
	"ohmledger/health/plain"
	"ohmledger/report"
)

// A part is a file of four things: a line that says what it is; a line of JSON, which says of what it is a part and who
// made it, and which any version can read; the content, compressed; and the SHA-256 of all that stands before it.

// magic begins every part.
const magic = "ohmledger/part/1\n"

// head is the line of JSON.
type head struct {
	Part   int    `json:"part"`
	Of     int    `json:"of"`
	Cells  int    `json:"cells"` // of the whole job
	Inputs string `json:"inputs_sha256"`
	Tool   maker  `json:"tool"`
	Shape  string `json:"shape"` // of the content, which changes with the program
}

type maker struct {
	Name    string `json:"name"`
	Version string `json:"version"`
	Model   string `json:"model"`
	Build   string `json:"build"`
}

// contentShape describes what stands in a part of this program.
func contentShape() string { return plain.Of[content]().Shape() + plain.Of[health.Cell]().Shape() }

// Write writes a part. The same part gives the same bytes.
func Write(to io.Writer, p *Part) error {
	sum := sha256.New()
	both := bufio.NewWriterSize(io.MultiWriter(to, sum), 1<<16)
	line, err := json.Marshal(head{p.Share.Number, p.Share.Of, p.Cells, p.Inputs, maker(p.Tool), contentShape()})
	if err != nil {
		return err
	}
	_, _ = both.WriteString(magic) // a buffered writer keeps its first fault for Flush
	_, _ = both.Write(append(line, '\n'))
	compressed, err := flate.NewWriter(both, flate.BestSpeed)
	if err != nil {
		return err
	}
	if err := p.writeContent(compressed); err != nil {
		return err
	}
	if err := compressed.Close(); err != nil {
		return err
	}
	if err := both.Flush(); err != nil {
		return err
	}
	_, err = to.Write(sum.Sum(nil))
	return err
}

var errCorrupt = errors.New("its content is no part of a report")

// longestHead is what the two lines may be, bytes.
const longestHead = 1 << 12

// Read reads a part that this program wrote. name is what the user calls it. What is no such part is refused in a Fault.
func Read(from io.ReadSeeker, name string, tool report.Tool) (*Part, error) {
	h, length, err := readHead(from)
	switch {
	case err != nil:
		return nil, faulty("%s is no part of a report; parts are written by report --part", name)
	case tool != report.Tool(h.Tool) || h.Shape != contentShape():
		return nil, faulty("%s was made by %s, and this is %s; parts and the whole are made by the same program", name, calls(report.Tool(h.Tool)), calls(tool))
	case h.Of < 1 || h.Part < 1 || h.Part > h.Of || h.Cells < 0:
		return nil, faulty("%s says it is part %d of %d, which cannot be", name, h.Part, h.Of)
	}
	size, err := checkSum(from)
	if err != nil {
		return nil, faulty("%s is damaged, or was not written to its end; judge it again", name)
	}
	if _, err := from.Seek(length, io.SeekStart); err != nil {
		return nil, err
	}
	p := &Part{Share: health.Share{Number: h.Part, Of: h.Of}, Tool: report.Tool(h.Tool), Inputs: h.Inputs, Cells: h.Cells, Name: name}
	unpacked := flate.NewReader(bufio.NewReaderSize(io.LimitReader(from, size-length), 1<<16))
	if err := p.readContent(unpacked); err != nil {
		return nil, faulty("%s cannot be read: %v", name, err)
	}
	return p, nil
}

// writeContent writes what all cells share, their number, and the cells.
func (p *Part) writeContent(to io.Writer) error {
	buffered := bufio.NewWriterSize(to, 1<<16)
	w, cell := plain.NewWriter(buffered), plain.Of[health.Cell]()
	plain.Of[content]().Write(w, &p.content)
	w.Count(p.Judged.Len())
	for _, c := range p.Judged.All() {
		cell.Write(w, c)
	}
	return errors.Join(w.Err(), buffered.Flush())
}

func (p *Part) readContent(from io.Reader) error {
	r, cell := plain.NewReader(bufio.NewReaderSize(from, 1<<16)), plain.Of[health.Cell]()
	plain.Of[content]().Read(r, &p.content)
	var list []health.Cell
	for n := r.Count(); len(list) < n && r.Err() == nil; {
		list = append(list, health.Cell{})
		cell.Read(r, &list[len(list)-1])
	}
	p.Judged = health.CellsOf(list)
	return r.Err()
}

// calls names a program in words.
func calls(t report.Tool) string {
	text := t.Name + " " + t.Version
	if t.Build != "" {
		text += ", build " + t.Build
	}
	return text
}

// readHead reads the first two lines and says how long they are.
func readHead(from io.Reader) (h head, length int64, err error) {
	b := make([]byte, longestHead)
	n, err := io.ReadFull(from, b)
	if err == io.ErrUnexpectedEOF {
		err = nil
	}
	b = b[:n]
	if err != nil || !bytes.HasPrefix(b, []byte(magic)) {
		return h, 0, errCorrupt
	}
	line, _, found := bytes.Cut(b[len(magic):], []byte("\n"))
	if !found {
		return h, 0, errCorrupt
	}
	return h, int64(len(magic) + len(line) + 1), json.Unmarshal(line, &h)
}

// checkSum holds a part against the sum at its end, and gives the length of what stands before that.
func checkSum(f io.ReadSeeker) (size int64, err error) {
	end, err := f.Seek(-sha256.Size, io.SeekEnd)
	if err != nil {
		return 0, err
	}
	var stated [sha256.Size]byte
	if _, err := io.ReadFull(f, stated[:]); err != nil {
		return 0, err
	}
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return 0, err
	}
	sum := sha256.New()
	if _, err := io.CopyN(sum, f, end); err != nil {
		return 0, err
	}
	if !bytes.Equal(sum.Sum(nil), stated[:]) {
		return 0, errCorrupt
	}
	return end, nil
}
