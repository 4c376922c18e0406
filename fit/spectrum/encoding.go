package spectrum

import (
	"bytes"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

var byteOrderMarks = []struct {
	mark     string
	encoding encoding.Encoding // nil: UTF-8, taken as it is
}{
	{"\xEF\xBB\xBF", nil},
	{"\xFF\xFE", unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM)},
	{"\xFE\xFF", unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM)},
}

// decode turns the bytes of a text file into UTF-8 with \n line ends.
func decode(data []byte) string {
	data, from := detectEncoding(data)
	if from != nil {
		// These decoders never fail: what they cannot read becomes U+FFFD.
		data, _ = from.NewDecoder().Bytes(data)
	}
	text := string(data)
	if strings.IndexByte(text, '\r') < 0 {
		return text
	}
	return strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
}

// detectEncoding goes by the byte order mark, else by zero bytes (UTF-16), else takes UTF-8 where
// valid, else Windows-1252, which holds all printable characters of Latin-1.
func detectEncoding(data []byte) (body []byte, from encoding.Encoding) {
	for _, b := range byteOrderMarks {
		if body, found := bytes.CutPrefix(data, []byte(b.mark)); found {
			return body, b.encoding
		}
	}
	if endian, found := zeroHalf(data); found {
		return data, unicode.UTF16(endian, unicode.IgnoreBOM)
	}
	if utf8.Valid(data) {
		return data, nil
	}
	return data, charmap.Windows1252
}

// zeroHalf recognises UTF-16 without a mark: in a table most characters are ASCII, so that one byte
// of most pairs is zero and the other almost never.
func zeroHalf(data []byte) (endian unicode.Endianness, found bool) {
	sample := data[:min(len(data), 1024)&^1]
	var zeros [2]int
	for i, b := range sample {
		if b == 0 {
			zeros[i%2]++
		}
	}
	enough := len(sample) / 4
	switch {
	case len(data)%2 != 0 || enough == 0:
		return unicode.LittleEndian, false
	case zeros[0] > enough && zeros[1] == 0:
		return unicode.BigEndian, true
	}
	return unicode.LittleEndian, zeros[1] > enough && zeros[0] == 0
}
