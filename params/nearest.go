package params

import "strings"

// nearest is the word that is fewest single-letter changes away from what was typed, else the
// first that begins with it, "" when there is none.
func nearest(typed string, words []string) string {
	best, least := "", max(2, len(typed)/3)+1
	for _, w := range words {
		if d := distance(strings.ToLower(typed), strings.ToLower(w)); d < least {
			best, least = w, d
		}
	}
	if best == "" && len(typed) > 2 {
		return begins(strings.ToLower(typed), words)
	}
	return best
}

// begins is the first word that begins with what was typed.
func begins(typed string, words []string) string {
	for _, w := range words {
		if strings.HasPrefix(w, typed) {
			return w
		}
	}
	return ""
}

// distance counts the letters to insert, drop, replace or swap with a neighbour to turn a into b (optimal string
// alignment).
func distance(a, b string) int {
	x, y := []rune(a), []rune(b)
	if n := len(x) - len(y); n > 64 || n < -64 {
		return 64 // far enough; keeps a very long word from costing anything
	}
	before, prev := make([]int, len(y)+1), make([]int, len(y)+1)
	for j := range prev {
		prev[j] = j
	}
	for i := 1; i <= len(x); i++ {
		row := make([]int, len(y)+1)
		row[0] = i
		for j := 1; j <= len(y); j++ {
			row[j] = min(prev[j]+1, row[j-1]+1, prev[j-1]+differ(x[i-1], y[j-1]))
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, prev = prev, row
	}
	return prev[len(y)]
}

func differ(a, b rune) int {
	if a == b {
		return 0
	}
	return 1
}

// nearestKey is the key that was probably meant: by its full name, or by its last word when the group is missing or
// wrong.
func nearestKey(typed string) string {
	names, lasts := make([]string, len(keys)), map[string]string{}
	for i, k := range keys {
		names[i] = k.Name
		if _, last, _ := strings.Cut(k.Name, "."); lasts[last] == "" {
			lasts[last] = k.Name
		}
	}
	last := typed[strings.LastIndex(typed, ".")+1:]
	if name := lasts[strings.ToLower(last)]; name != "" && nearest(typed, names) == "" {
		return name
	}
	return nearest(typed, names)
}
