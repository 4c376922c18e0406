package spectrum

import "strings"

const longestWord = 100 // bytes; the cost grows with the product of the lengths

// Nearest is the known word closest to a mistyped one, or "" where none is close: at most one
// edit in three letters, where an edit inserts, removes or replaces a letter or swaps two neighbours.
// Case does not count. Of words equally close the first is taken.
func Nearest(word string, known []string) string {
	if len(word) > longestWord {
		return ""
	}
	nearest, least := "", len([]rune(word))/3+1
	for _, k := range known {
		if d := distance(strings.ToLower(word), strings.ToLower(k)); d < least {
			nearest, least = k, d
		}
	}
	return nearest
}

// distance is the restricted edit distance of Damerau (1964) and Levenshtein (1966).
func distance(a, b string) int {
	from, to := []rune(a), []rune(b)
	before, above := make([]int, len(to)+1), make([]int, len(to)+1) // the rows i−2 and i−1
	for j := range above {
		above[j] = j
	}
	for i := range from {
		row := make([]int, len(to)+1)
		row[0] = i + 1
		for j := range to {
			replaced := above[j] + 1
			if from[i] == to[j] {
				replaced = above[j]
			}
			row[j+1] = min(above[j+1]+1, row[j]+1, replaced)
			if i > 0 && j > 0 && from[i] == to[j-1] && from[i-1] == to[j] {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
		before, above = above, row
	}
	return above[len(to)]
}
