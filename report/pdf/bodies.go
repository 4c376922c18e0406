package pdf

import (
	"bytes"
	"compress/zlib"
	"io"
	"regexp"
	"strconv"
)

// body is what a file holds under a number.
type body struct {
	number     int
	dictionary []byte
	data       []byte // of a stream, as it stands in the file; nil where it is none
}

var (
	bodyHead   = regexp.MustCompile(`^([0-9]{1,9}) 0 obj\n`)
	dataLength = regexp.MustCompile(`/Length ([0-9]{1,12})\b`)
	groupHead  = regexp.MustCompile(`^<</Type /ObjStm /N [0-9]{1,9} /First ([0-9]{1,9}) `)
)

const (
	dataBegin, dataEnd, bodyEnd = "stream\n", "\nendstream\n", "endobj\n"

	growth    = 30 // a report's streams unpack to some five times their size
	leastRoom = 1 << 20
)

// bodies are those of a file in the order in which they stand, those that share a stream (ISO 32000-1:2008, 7.5.7) among them.
type bodies struct {
	list []body
	room int // bytes that streams may still unpack to
}

// bodiesOf reads what stands between the first line and the last table. It goes through the file once.
func bodiesOf(b []byte) (*bodies, error) {
	o := &bodies{room: len(b)*growth + leastRoom}
	first := bodyBegin.FindIndex(b[:min(len(b), 64)])
	if first == nil {
		return nil, errForeign
	}
	for rest := b[first[0]+1:]; ; {
		head := bodyHead.FindSubmatch(rest[:min(len(rest), 32)])
		if head == nil {
			return o, nil
		}
		next, length := bodyAt(rest[len(head[0]):])
		if length == 0 {
			return nil, errForeign
		}
		next.number, _ = strconv.Atoi(string(head[1])) // nine digits at most
		if err := o.add(next); err != nil {
			return nil, err
		}
		rest = rest[len(head[0])+length:]
	}
}

var bodyBegin = regexp.MustCompile(`\n[0-9]{1,9} 0 obj\n`)

// bodyAt reads one up to its end, and gives its length; 0 where it is none.
func bodyAt(b []byte) (found body, length int) {
	end := bytes.Index(b, []byte(bodyEnd))
	if end < 0 {
		return body{}, 0
	}
	begin := bytes.Index(b[:end], []byte(dataBegin))
	if begin < 0 {
		return body{dictionary: b[:end]}, end + len(bodyEnd)
	}
	dictionary := b[:begin]
	stated := dataLength.FindSubmatch(dictionary)
	if stated == nil {
		return body{}, 0
	}
	n, err := strconv.Atoi(string(stated[1]))
	begin += len(dataBegin)
	if err != nil || n > len(b)-begin || !bytes.HasPrefix(b[begin+n:], []byte(dataEnd+bodyEnd)) {
		return body{}, 0
	}
	return body{dictionary: dictionary, data: b[begin : begin+n]}, begin + n + len(dataEnd+bodyEnd)
}

// add keeps a body, or those that share it.
func (o *bodies) add(next body) error {
	group := groupHead.FindSubmatch(next.dictionary)
	if group == nil {
		o.list = append(o.list, next)
		return nil
	}
	plain, err := o.unpacked(&next)
	if err != nil {
		return err
	}
	first, _ := strconv.Atoi(string(group[1]))
	if first > len(plain) {
		return errForeign
	}
	return o.addGroup(bytes.Fields(plain[:first]), plain[first:])
}

// addGroup keeps bodies that stand one after the other; the index has number and place of each.
func (o *bodies) addGroup(index [][]byte, shared []byte) error {
	for i := 0; i+1 < len(index); i += 2 {
		number, errNumber := strconv.Atoi(string(index[i]))
		from, errFrom := strconv.Atoi(string(index[i+1]))
		to := len(shared)
		if i+3 < len(index) {
			to, _ = strconv.Atoi(string(index[i+3]))
		}
		if errNumber != nil || errFrom != nil || from < 0 || to < from || to > len(shared) {
			return errForeign
		}
		o.list = append(o.list, body{number: number, dictionary: shared[from:to]})
	}
	return nil
}

// unpacked is the content of a stream.
func (o *bodies) unpacked(b *body) ([]byte, error) {
	plain, err := zlib.NewReader(bytes.NewReader(b.data))
	if err != nil {
		return nil, errForeign
	}
	text, err := io.ReadAll(io.LimitReader(plain, int64(o.room)+1))
	if o.room -= len(text); err != nil || o.room < 0 {
		return nil, errForeign
	}
	return text, nil
}
