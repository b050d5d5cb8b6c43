package annotate

import (
	"strings"

	"wornwood/capture/record"
)

// papers are words by which a text names a paper, in the trade's words: common
// practice, no published source.
var papers = []string{"receipt", "invoice", "bill of sale", "bill", "letter", "catalogue", "catalog", "price list", "brochure", "advertisement", "warranty", "guarantee", "certificate",
	"ledger", "shipping record", "shipping book", "order form", "work order", "order book", "hang tag", "hangtag", "label", "card", "appraisal", "valuation", "report", "permit",
	"contract", "deed", "inventory", "passport", "document", "paper", "papers", "documents", "newspaper", "diary", "register", "logbook"}

// noPaper are words that say there is none: "no document seen", "without papers".
var noPaper = []string{"no", "without", "not", "lost", "missing", "nor"}

// ClaimGap says what a claim lacks for the standing it is given, "" for nothing.
// It blocks nothing: the claim stands as the examiner says, and the report shows
// what supports it.
func ClaimGap(rec *record.Record, c *record.Claim) string {
	files := 0
	attached := 0
	for _, f := range c.Files {
		if rec.PhotoByID(f) != nil {
			files++
		} else if Attachment(rec, f) != nil {
			files++
			attached++
		}
	}
	switch {
	case c.Text == "":
		return "it does not say what is claimed"
	case c.About == "":
		return "it does not say what it is about"
	}
	switch c.Standing {
	case record.Documented:
		if files == 0 && !NamesPaper(c.Support) {
			return "called documented, but no file is tied to it and what supports it names no paper"
		}
	case record.Seen:
		if files == 0 && c.Support == "" {
			return "called seen, but neither a photo nor words say what was seen"
		}
	case record.Stated:
		if c.By == "" {
			return "called stated, but not who says so"
		}
	case record.Contradicted:
		if files == 0 && c.Support == "" {
			return "called contradicted, but nothing says by what"
		}
	}
	return ""
}

// NamesPaper tells whether a text names a paper and does not say that there is
// none.
func NamesPaper(text string) bool {
	ws := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !(r >= 'a' && r <= 'z') && r < 0x80 })
	for _, p := range papers {
		f := strings.Fields(p)
		for i := 0; i+len(f) <= len(ws); i++ {
			if isPhrase(f, ws[i:]) && !(i > 0 && isOne(ws[i-1], noPaper)) && !isOne(behind(ws, i+len(f)), []string{"lost", "missing", "seen"}) {
				return true
			}
		}
	}
	return false
}

func isPhrase(f, ws []string) bool {
	for k := range f {
		if ws[k] != f[k] && !(k == len(f)-1 && ws[k] == f[k]+"s") {
			return false
		}
	}
	return true
}

func behind(ws []string, i int) string {
	if i < len(ws) {
		return ws[i]
	}
	return ""
}

func isOne(w string, list []string) bool {
	for _, x := range list {
		if x == w {
			return true
		}
	}
	return false
}
