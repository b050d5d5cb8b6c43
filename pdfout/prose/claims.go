package prose

import (
	"strings"

	"wornwood/annotate"
	"wornwood/annotate/dating"
	"wornwood/capture/record"
)

// claims tells each claim as far as it stands.
func (t *teller) claims() {
	for i := range t.Record.Claims {
		c := &t.Record.Claims[i]
		t.say(Claims, claimRank(c), ClaimSentence(c), ClaimFact(c.ID))
	}
}

// contradicted tells only the claims that do not stand.
func (t *teller) contradicted() {
	for i := range t.Record.Claims {
		if c := &t.Record.Claims[i]; c.Standing == record.Contradicted {
			t.say(Claims, 1, ClaimSentence(c), ClaimFact(c.ID))
		}
	}
}

func claimRank(c *record.Claim) int {
	if c.Standing == record.Contradicted {
		return 0
	}
	return 2
}

// ClaimSentence says what is claimed and how it stands: what a paper shows, what
// was seen, what is only said, what nothing supports, what was refuted. "" for a
// claim without words.
func ClaimSentence(c *record.Claim) string {
	if clean(c.Text) == "" {
		return ""
	}
	switch c.Standing {
	case record.Documented:
		return documentedSentence(c)
	case record.Seen:
		return seenSentence(c)
	case record.Unsupported:
		return unsupportedSentence(c)
	case record.Contradicted:
		return contradictedSentence(c)
	}
	return statedSentence(c)
}

// subject is what a claim is about, within a sentence.
func subject(c *record.Claim) string {
	if a := strings.TrimPrefix(bare(c.About), "the "); a != "" {
		return "the " + lower(a)
	}
	return "the instrument"
}

// claimed is the claim within a sentence: the year “1974”.
func claimed(c *record.Claim) string { return subject(c) + ", " + Quoted(c.Text) }

// documentedSentence: "A receipt shows the year, “1974”: receipt of 2 May 1974."
func documentedSentence(c *record.Claim) string {
	w := bare(c.Support)
	if w == "" && len(c.Files) == 0 {
		return "Called documented is the claim on " + claimed(c) + "; the document is not named."
	}
	s := "A " + paper(c.Support) + " shows what is claimed of " + claimed(c)
	if w != "" {
		s += ": " + w
	}
	return s + "."
}

// paper is the paper that a support names first, "document" where it names none.
func paper(support string) string {
	if annotate.NamesPaper(support) {
		for _, w := range strings.FieldsFunc(strings.ToLower(support), func(r rune) bool { return r < 'a' || r > 'z' }) {
			switch w {
			case "receipt", "letter", "catalogue", "catalog", "brochure", "certificate", "ledger", "label", "report", "contract":
				return w
			}
		}
	}
	return "document"
}

// seenSentence says what was seen, since a look supports more or less.
func seenSentence(c *record.Claim) string {
	w := bare(c.Support)
	if w == "" && len(c.Files) == 0 {
		return "Called seen is the claim on " + claimed(c) + "; what was seen is not noted."
	}
	s := "The examiner saw what supports the claim on " + claimed(c)
	if w != "" {
		s += ": " + w
	}
	return s + "."
}

func statedSentence(c *record.Claim) string {
	s := subject(c) + verb(many(subject(c)), " is", " are") + " said to be " + Quoted(c.Text)
	if by := bare(c.By); by != "" {
		s += " by " + by
	}
	return s + "; no document was seen."
}

func unsupportedSentence(c *record.Claim) string {
	return "Nothing seen supports the claim on " + claimed(c) + "."
}

func contradictedSentence(c *record.Claim) string {
	s := "The claim on " + claimed(c) + ", is contradicted by what was found"
	if w := bare(c.Support); w != "" {
		s += ": " + w
	}
	return s + "."
}

// dating says what the dated evidence allows, and which claimed years it does
// not. Nothing is said without evidence; the instrument is never given a year.
func (t *teller) dating(hedged bool) {
	r := dating.OfRecord(t.Record, t.Tables, t.Record.Examination.Date)
	if r.Counted == 0 {
		return
	}
	of := fact(OfDating, "evidence")
	t.say(Dating, 2, r.Sentence(), of)
	for _, s := range r.ContradictionSentences() {
		t.say(Dating, 1, s, of)
	}
	for i := range r.Claims {
		if c := &r.Claims[i]; c.Verdict == dating.Contradicted {
			t.say(Dating, 0, c.Sentence(r), of, fact(OfDating, "claim "+c.Text))
		}
	}
	if hedged {
		t.say(Dating, 3, dating.Hedge, of)
	}
}

// YearsContradicted are the claimed years that the dated evidence does not allow.
func YearsContradicted(s Source) []string {
	var out []string
	for _, c := range dating.OfRecord(s.Record, s.Tables, s.Record.Examination.Date).Claims {
		if c.Verdict == dating.Contradicted {
			out = append(out, c.Text)
		}
	}
	return out
}
