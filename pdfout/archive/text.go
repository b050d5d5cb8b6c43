package archive

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// Every index takes texts apart with the functions of this file and compares
// what they give byte by byte, so that a query line means the same whatever the
// reports are kept in. No index leaves this to its database: their ideas of
// words and of letters that are alike differ from version to version.
//
// A query line then means, in every index (archivetest.Property holds them to
// it against going through the rows one by one):
//
//   - a bare term: each of its Words begins one of the Words of maker, model,
//     class, examiner, shop or Row.Words, not all in the same of these; or, where
//     the SerialKey of the term has a digit, the SerialKey of the serial number
//     begins with it
//   - a phrase: its Words stand one after the other, whole, within one of these
//   - maker: and the like: each of its Words begins a word of that field
//   - number: the FoldText begins so. purpose, kinds, parts and their states are
//     compared by FoldText; key, verdict and hash as they are
//   - a range leaves out what has no value: no index, class 0
//   - maker and number are sorted by FoldText, serial numbers by SerialKey, a
//     missing index below every other; what is alike by seq, in the direction
//     of the order. Texts are sorted byte by byte
//   - Counts groups texts as they are written; purpose, kinds and "part=state" by
//     FoldText; class and year as text, class 0 as "0". A report counts once for
//     each of its kinds and parts. More reports first, then values byte by byte
//   - Suggest joins spellings of one FoldText (of one SerialKey for serial
//     numbers), shows the one that is least byte by byte, sorts by the former,
//     and leaves out empty values

// plainLetters are letters that carry no mark which could be taken off, as
// people without them on the keyboard write them.
var plainLetters = map[rune]string{'ø': "o", 'ł': "l", 'đ': "d", 'ð': "d", 'ħ': "h", 'ŧ': "t", 'ß': "ss", 'æ': "ae", 'œ': "oe", 'þ': "th", 'ı': "i", 'ŋ': "n", 'ĸ': "k", 'ƒ': "f", 'ς': "σ"}

// FoldText is a text as names, numbers and kinds are compared and sorted: in
// small letters, without accents, letters such as ø and ß as plain ones, with
// single blanks between what any blanks or control characters parted.
func FoldText(s string) string {
	if b, plain := foldASCII(s); plain {
		return b
	}
	var b strings.Builder
	b.Grow(len(s))
	gap := false
	for _, r := range norm.NFKD.String(strings.ToValidUTF8(s, " ")) {
		if unicode.IsSpace(r) || unicode.IsControl(r) {
			gap = b.Len() > 0
			continue
		}
		if unicode.Is(unicode.Mn, r) {
			continue
		}
		if gap {
			b.WriteByte(' ')
			gap = false
		}
		r = unicode.ToLower(r)
		if p, is := plainLetters[r]; is {
			b.WriteString(p)
			continue
		}
		b.WriteRune(r)
	}
	return b.String()
}

// foldASCII is FoldText of a text of plain letters, which most are.
func foldASCII(s string) (string, bool) {
	same, gap := true, true // the last byte was a blank
	for i := range len(s) {
		c := s[i]
		if c >= utf8.RuneSelf {
			return "", false
		}
		if ('A' <= c && c <= 'Z') || c < ' ' || c == 0x7f || (c == ' ' && gap) {
			same = false
		}
		gap = c == ' '
	}
	if same && (!gap || s == "") {
		return s, true
	}
	b := make([]byte, 0, len(s))
	gap = false
	for i := range len(s) {
		c := s[i]
		if c <= ' ' || c == 0x7f {
			gap = len(b) > 0
			continue
		}
		if gap {
			b, gap = append(b, ' '), false
		}
		if 'A' <= c && c <= 'Z' {
			c += 'a' - 'A'
		}
		b = append(b, c)
	}
	return string(b), true
}

// maxWord bounds a word, in bytes; the rest of a longer one is not looked at.
const maxWord = 64

// Words are the words of a text in their order: runs of letters and digits of
// its FoldText.
func Words(s string) []string {
	w := strings.FieldsFunc(FoldText(s), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.IsMark(r) })
	for i, s := range w {
		if len(s) > maxWord {
			w[i] = strings.ToValidUTF8(s[:maxWord], "")
		}
	}
	return w
}

// SerialKey is a serial number without what people read and write differently:
// letters and digits of its FoldText only, in capitals, the letter O as 0 and I
// as 1. "L-4I 87O" and "l41870" have the same key.
func SerialKey(s string) string {
	return strings.Map(func(r rune) rune {
		switch r = unicode.ToUpper(r); {
		case r == 'O':
			return '0'
		case r == 'I':
			return '1'
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			return r
		}
		return -1
	}, FoldText(s))
}

// fold is short for FoldText.
func fold(s string) string { return FoldText(s) }
