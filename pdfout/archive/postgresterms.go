package archive

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// A term of post begins with a letter for what it is about, then its level: 0
// for the whole word, n for a beginning of n bytes, which all words of n bytes
// and more have. A beginning of any length is then found in few rows, also
// where thousands of words begin so.
const (
	aboutAny    = 'w' // words of any text
	aboutPair   = 'b' // two words beside one another, by a number of 13 bits
	aboutSerial = 's' // the serial number's key; no level 0
	aboutNumber = 'n' // the report's number, folded; no level 0
	aboutKey    = 'f' // the fingerprint
	aboutKind   = 'k' // kind of a mark; level 0 only
	aboutPart   = 'p' // part, a zero byte, state; level 0 only
	aboutEqual  = '=' // purpose, verdict, condition: the first letter of these, then the value; level 0 only
	aboutHas    = 'h' // what the report has; level 0 only
	aboutAll    = '*' // every report
)

// aboutColumn are the letters of the fields that are asked for by their words.
var aboutColumn = map[string]byte{"maker": 'M', "model": 'O', "class": 'C', "examiner": 'E', "shop": 'S'}

// pgLevels are the lengths, in bytes, of the beginnings that are kept. Where a
// length in between is asked for, the next one above answers, so there is never
// more than one missing.
var pgLevels = map[byte][]int{
	aboutAny: {1, 2, 3, 4, 6}, aboutSerial: {1, 2, 3, 4, 6}, aboutNumber: {1, 2, 3, 4, 6, 8, 10}, aboutKey: {1, 2, 3, 4, 6, 8},
	'M': {1, 2, 3}, 'O': {1, 2, 3}, 'C': {1, 2, 3}, 'E': {1, 2, 3}, 'S': {1, 2, 3},
}

// maxKey bounds what is sorted, and what is told apart, of a text, in bytes:
// engines bound the size of what they index.
const maxKey = 200

func cutKey(s string) []byte { return []byte(s[:min(len(s), maxKey)]) }

func termOf(about byte, level int, s string) string {
	if level > 0 {
		s = s[:level]
	}
	return string([]byte{about, byte(level)}) + s[:min(len(s), maxKey)]
}

// addWord adds a word with its beginnings.
func addWord(to map[string]bool, about byte, whole bool, s string) {
	if whole {
		to[termOf(about, 0, s)] = true
	}
	for _, n := range pgLevels[about] {
		if len(s) >= n {
			to[termOf(about, n, s)] = true
		}
	}
}

// pairOf is the term of two words beside one another.
func pairOf(a, b string) string {
	h := sha256.Sum256([]byte(a + "\x00" + b))
	return string([]byte{aboutPair, 0, h[0] & 0x1f, h[1]})
}

// texts are what is found by words, each for itself.
func (row *Row) texts() []string {
	return []string{row.Maker, row.Model, row.Class, row.Examiner, row.Shop, row.Words}
}

// termsOf are the terms of a report.
func termsOf(row *Row) map[string]bool {
	to := map[string]bool{string([]byte{aboutAll, 0}): true}
	for i, text := range row.texts() {
		words := Words(text)
		for k, w := range words {
			addWord(to, aboutAny, true, w)
			if k > 0 {
				to[pairOf(words[k-1], w)] = true
			}
			if i < len(row.texts())-1 {
				addWord(to, aboutColumn[[]string{"maker", "model", "class", "examiner", "shop"}[i]], true, w)
			}
		}
	}
	addWord(to, aboutSerial, false, SerialKey(row.Serial))
	addWord(to, aboutNumber, false, fold(row.Number))
	addWord(to, aboutKey, true, row.Key)
	for _, k := range row.Kinds {
		to[termOf(aboutKind, 0, fold(k))] = true
	}
	for _, p := range row.Parts {
		to[termOf(aboutPart, 0, fold(p.Part)+"\x00"+fold(p.State))] = true
	}
	to[termOf(aboutEqual, 0, "p"+fold(row.Purpose))] = true
	to[termOf(aboutEqual, 0, "v"+row.Verdict)] = true
	to[termOf(aboutEqual, 0, "c"+strconv.Itoa(row.Condition))] = true
	for name, has := range map[string]bool{"countersigned": row.Countersigned, "stamped": row.Stamped, "originals": row.Originals > 0, "photos": row.Photos > 0, "marks": len(row.Kinds) > 0} {
		if has {
			to[termOf(aboutHas, 0, name)] = true
		}
	}
	return to
}

// The fields of col and value, numbered as they are stored.
const (
	colMaker = iota + 1
	colModel
	colClass
	colYear
	colDate
	colCondition
	colPurpose
	colExaminer
	colShop
	colKey
	colVerdict
	colKind
	colPart     // "part=state"
	colSpan     // "from-to" of the claimed years
	colTens     // the index rounded down; "" without one
	colDay      // of filing, UTC
	colPartName // in value only, for suggestions
)

// colOf are the fields that Counts knows, but for serial.
var colOf = map[string]int64{"maker": colMaker, "model": colModel, "class": colClass, "year": colYear, "date": colDate, "condition": colCondition, "purpose": colPurpose, "examiner": colExaminer,
	"shop": colShop, "key": colKey, "verdict": colVerdict, "kind": colKind, "part": colPart}

// noCond stands for a missing index, below every other.
const noCond = -math.MaxFloat64

func condOf(row *Row) float64 {
	if row.Index == nil || math.IsNaN(*row.Index) {
		return noCond
	}
	return *row.Index
}

// tens is the index rounded down.
func tens(cond float64) string {
	if cond == noCond {
		return ""
	}
	return strconv.FormatFloat(math.Floor(cond), 'f', -1, 64)
}

// fieldValue is a value of a field of a report.
type fieldValue struct {
	field int64
	text  string
}

// digest tells values apart, however long they are.
func (v fieldValue) digest() []byte {
	h := sha256.Sum256([]byte(v.text))
	return h[:16]
}

// valuesOf are the values of a report's fields, each once.
func valuesOf(row *Row) []fieldValue {
	out := []fieldValue{{colMaker, row.Maker}, {colModel, row.Model}, {colClass, row.Class}, {colYear, row.Year}, {colDate, row.Date}, {colCondition, strconv.Itoa(row.Condition)}, {colPurpose, fold(row.Purpose)},
		{colExaminer, row.Examiner}, {colShop, row.Shop}, {colKey, row.Key}, {colVerdict, row.Verdict},
		{colSpan, fmt.Sprintf("%d-%d", row.YearFrom, row.YearTo)}, {colTens, tens(condOf(row))}, {colDay, stamp(row.Filed)[:len("2006-01-02")]}}
	once := map[fieldValue]bool{}
	more := func(v fieldValue) {
		if !once[v] {
			once[v] = true
			out = append(out, v)
		}
	}
	for _, k := range row.Kinds {
		more(fieldValue{colKind, fold(k)})
	}
	for _, p := range row.Parts {
		more(fieldValue{colPart, fold(p.Part) + "=" + fold(p.State)})
		more(fieldValue{colPartName, fold(p.Part)})
	}
	return out
}

// pgHash is a hash as it is stored: its bytes.
func pgHash(s string) []byte {
	if len(s) == sha256.Size*2 && strings.ToLower(s) == s {
		if b, err := hex.DecodeString(s); err == nil {
			return b
		}
	}
	return []byte(s)
}

// behind is the first key that does not begin so; nil for no beginning.
func behind(begin string) []byte {
	b := []byte(begin)
	for i, c := range slices.Backward(b) {
		if c < 0xff {
			b = b[:i+1]
			b[i]++
			return b
		}
	}
	return nil
}

// blockOf are the block of a log line and the place in it.
func blockOf(seq int64) (int64, uint16) { return seq / pgBlock, uint16(seq % pgBlock) }
