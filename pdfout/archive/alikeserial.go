package archive

import (
	"strconv"
	"strings"
)

// misread are pairs of characters of a SerialKey that people take for each other
// in worn, stamped or written numbers (common practice). O and 0, I and 1 are one
// character there already.
var misread = []string{"8B", "5S", "2Z", "6G", "17", "1L", "4A", "49", "38", "08", "06", "0D", "0Q", "UV", "MN"}

func confusable(a, b byte) bool {
	for _, p := range misread {
		if (p[0] == a && p[1] == b) || (p[0] == b && p[1] == a) {
			return true
		}
	}
	return false
}

// SerialNearness says how two keys of serial numbers stand to each other.
type SerialNearness int

// The nearnesses.
const (
	SerialOther    SerialNearness = iota
	SerialOneOff                  // one character is another
	SerialSlip                    // as misreading or mistyping makes it: a pair of misread, one left out, two exchanged
	SerialSame                    // the same
	SerialNeighbor                // one character is another, and the numbers are neighbours of one run
)

// neighbours is how far numbers of one run may lie apart to be taken for
// neighbours.
const neighbours = 20

// Nearness compares two keys of SerialKey.
func Nearness(a, b string) SerialNearness {
	switch {
	case a == b:
		return SerialSame
	case a == "" || b == "":
		return SerialOther
	case len(a) == len(b):
		return sameLength(a, b)
	case len(a)-len(b) == 1 && len(b) >= 4 && oneLeftOut(a, b), len(b)-len(a) == 1 && len(a) >= 4 && oneLeftOut(b, a):
		return SerialSlip
	}
	return SerialOther
}

func sameLength(a, b string) SerialNearness {
	var at []int
	for i := range len(a) {
		if a[i] != b[i] {
			at = append(at, i)
		}
	}
	near := numbersNear(a, b)
	switch {
	case len(at) == 2 && at[1] == at[0]+1 && a[at[0]] == b[at[1]] && a[at[1]] == b[at[0]] && !near:
		return SerialSlip
	case len(at) != 1:
		return SerialOther
	case near:
		return SerialNeighbor // also where the figures are easily misread: a run's numbers differ by such too
	case confusable(a[at[0]], b[at[0]]):
		return SerialSlip
	}
	return SerialOneOff
}

// numbersNear says whether two numbers behind the same letters follow closely.
func numbersNear(a, b string) bool {
	i := 0
	for i < len(a) && i < len(b) && a[i] == b[i] && (a[i] < '0' || a[i] > '9') {
		i++
	}
	x, err := strconv.ParseInt(a[i:], 10, 64)
	y, err2 := strconv.ParseInt(b[i:], 10, 64)
	return err == nil && err2 == nil && max(x-y, y-x) <= neighbours
}

func oneLeftOut(long, short string) bool {
	for i := range len(short) {
		if long[i] != short[i] {
			return long[i+1:] == short[i:]
		}
	}
	return true
}

// variants are the keys that lie one slip or one character away from a key, so
// that each can be looked up: many small look-ups stay fast where one that goes
// through all numbers would not.
func variants(key string) []string {
	if len(key) < 4 || len(key) > 20 || strings.IndexFunc(key, func(r rune) bool { return r >= 0x80 }) >= 0 {
		return nil
	}
	var out []string
	seen := map[string]bool{key: true}
	add := func(s string) {
		if !seen[s] && len(out) < maxVariants {
			seen[s] = true
			out = append(out, s)
		}
	}
	for i := range len(key) {
		for _, p := range misread {
			for k := range 2 {
				if key[i] == p[k] {
					add(key[:i] + string(p[1-k]) + key[i+1:])
				}
			}
		}
		if i+1 < len(key) {
			add(key[:i] + string(key[i+1]) + string(key[i]) + key[i+2:])
		}
		if len(key) > 4 {
			add(key[:i] + key[i+1:])
		}
	}
	for i := 0; i <= len(key); i++ {
		for c := '0'; c <= '9'; c++ {
			add(key[:i] + string(c) + key[i:])
			if i < len(key) && key[i] >= '0' && key[i] <= '9' {
				add(key[:i] + string(c) + key[i+1:])
			}
		}
	}
	return out
}
