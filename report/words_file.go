package report

import (
	"errors"
	"fmt"
	"io/fs"
	"unicode/utf8"
)

// largestSentences is what a file of sentences may have in bytes; all of the shipped ones together have a tenth of it.
const largestSentences = 1 << 20

// readSentences reads a file of a laboratory's own blocks. It looks before it opens, since opening a pipe may never end. Its
// error says what is wrong, without the file's name.
func readSentences(folder fs.FS, file string) ([]byte, error) {
	info, err := fs.Lstat(folder, file) // fs.Stat opens what lies below a folder of a folder
	switch {
	case err != nil:
		return nil, fmt.Errorf("cannot be read: %w", err)
	case info.Mode().Type() == fs.ModeSymlink:
		return nil, errors.New("is a link; copy the file itself into the folder of sentences")
	case !info.Mode().IsRegular():
		return nil, errors.New("is no file; sentences are text in files that end with .tmpl")
	case info.Size() > largestSentences:
		return nil, fmt.Errorf("has %d bytes; at most %d are read", info.Size(), largestSentences)
	}
	text, err := fs.ReadFile(folder, file)
	if err != nil {
		return nil, fmt.Errorf("cannot be read: %w", err)
	}
	if !utf8.Valid(text) {
		return nil, errors.New("is no UTF-8 text; save it anew as UTF-8")
	}
	return text, nil
}
