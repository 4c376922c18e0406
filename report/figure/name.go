package figure

import (
	"crypto/sha256"
	"encoding/hex"
	"strings"
)

// emptyHeight is that of a figure which says why there is nothing to draw, in mm.
const emptyHeight = 16.

// figureName makes a file name of a cell's name and what is drawn. Where the cell's name holds characters
// that not every file system takes, they are replaced and a piece of the name's digest keeps it apart
// from others.
func figureName(cell, what string) string {
	safe := strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == '_' {
			return r
		}
		return '_'
	}, cell)
	const longest = 60
	if safe != cell || safe == "" || len(safe) > longest {
		digest := sha256.Sum256([]byte(cell))
		safe = safe[:min(len(safe), longest)] + "-" + hex.EncodeToString(digest[:4])
	}
	return safe + "-" + what
}
