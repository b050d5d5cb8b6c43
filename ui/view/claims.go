package view

import (
	"slices"
	"strings"

	"wornwood/annotate"
	"wornwood/annotate/dating"
	"wornwood/capture/record"
)

// ClaimRow is one claim in the list.
type ClaimRow struct {
	ID       string
	About    string
	Text     string
	By       string
	Support  string
	Standing record.Standing
	Files    int
	Gap      string // what it lacks for its standing, "" for nothing
	Lacks    string // the same in a word for a list
	Selected bool
}

// Claims is what is said about the instrument, by whom and on what ground.
type Claims struct {
	s        *annotate.Session
	selected string
}

// NewClaims makes the model on a session.
func NewClaims(s *annotate.Session) *Claims { return &Claims{s: s} }

// Rows lists the claims in the order in which they were entered.
func (v *Claims) Rows() []ClaimRow {
	rec := v.s.Scene().Record
	at := v.Selected()
	var rows []ClaimRow
	for i := range rec.Claims {
		c := &rec.Claims[i]
		rows = append(rows, ClaimRow{ID: c.ID, About: Capital(c.About), Text: c.Text, By: c.By, Support: c.Support, Standing: c.Standing,
			Files: len(existing(rec, c.Files)), Gap: annotate.ClaimGap(rec, c), Selected: c.ID == at})
		rows[i].Lacks = lacks(&rows[i])
	}
	return rows
}

func lacks(r *ClaimRow) string {
	switch {
	case r.Gap == "":
		return ""
	case r.Text == "" || r.About == "":
		return "words"
	}
	return map[record.Standing]string{record.Documented: "a paper", record.Seen: "what", record.Stated: "who", record.Contradicted: "by what"}[r.Standing]
}

// Summary is the line under the title.
func (v *Claims) Summary() string {
	rows := v.Rows()
	if len(rows) == 0 {
		return "What is said about the instrument, by whom, and what supports it"
	}
	n := map[record.Standing]int{}
	gaps := 0
	for _, r := range rows {
		n[r.Standing]++
		if r.Gap != "" {
			gaps++
		}
	}
	var out []string
	for _, st := range record.Standings() {
		if n[st] > 0 {
			out = append(out, count(n[st], string(st), string(st)))
		}
	}
	if gaps > 0 {
		out = append(out, count(gaps, "lacks something for its standing", "lack something for their standing"))
	}
	return strings.Join(out, ", ")
}

// Selected is the identity of the claim shown, "" while there is none: the one
// selected last, or the first.
func (v *Claims) Selected() string {
	list := v.s.Scene().Record.Claims
	if len(list) == 0 {
		return ""
	}
	if slices.ContainsFunc(list, func(c record.Claim) bool { return c.ID == v.selected }) {
		return v.selected
	}
	return list[0].ID
}

// Select shows a claim.
func (v *Claims) Select(id string) { v.selected = id }

// Chosen is a copy of the claim shown, nil while there is none.
func (v *Claims) Chosen() *record.Claim { return v.s.Claim(v.Selected()) }

// Add enters an empty claim and selects it; the words come after.
func (v *Claims) Add() error {
	id, err := v.s.AddClaim(record.Claim{})
	if err == nil {
		v.selected = id
	}
	return err
}

// Remove takes the claim shown away and shows the next.
func (v *Claims) Remove() error {
	id := v.Selected()
	if id == "" {
		return nil
	}
	list := v.s.Scene().Record.Claims
	next := neighbour(len(list), slices.IndexFunc(list, func(c record.Claim) bool { return c.ID == id }))
	after := ""
	if next >= 0 {
		after = list[next].ID
	}
	if err := v.s.RemoveClaim(id); err != nil {
		return err
	}
	v.selected = after
	return nil
}

// neighbour is the index of what is shown once the i-th of n has gone: the
// next, else the one before, -1 for none.
func neighbour(n, i int) int {
	if i+1 < n {
		return i + 1
	}
	return i - 1
}

// Fields are the typed fields of the claim shown, in the order of the form.
func (v *Claims) Fields() []Field {
	field := func(label, hint string, choices []string, at func(*record.Claim) *string) Field {
		return Field{Label: label, Hint: hint, Choices: choices,
			Get: func() string {
				if c := v.Chosen(); c != nil {
					return *at(c)
				}
				return ""
			},
			Set: func(t string) error {
				if v.Selected() == "" {
					return nil
				}
				return v.s.EditClaim(v.Selected(), label, func(c *record.Claim) { *at(c) = t })
			}}
	}
	return []Field{
		field("About", "year, colour …", record.ClaimSubjects(), func(c *record.Claim) *string { return &c.About }),
		field("Claim", "one of 60; colour original …", nil, func(c *record.Claim) *string { return &c.Text }),
		field("Who says so", "the seller, the label, a catalogue …", nil, func(c *record.Claim) *string { return &c.By }),
		field("What supports it", "bill of sale of 1974; pot codes …", nil, func(c *record.Claim) *string { return &c.Support }),
	}
}

// StandingWords explain the standings, as the report does.
var StandingWords = map[record.Standing]string{
	record.Documented:   "A paper was shown: tie it below, or name it above.",
	record.Seen:         "The examiner saw it on the instrument.",
	record.Stated:       "Somebody says so, and no more is known.",
	record.Unsupported:  "Nothing was found for it.",
	record.Contradicted: "Something was found against it: say above what.",
}

// Standing is the index of the claim's standing among record.Standings, -1
// while no claim is shown.
func (v *Claims) Standing() int {
	c := v.Chosen()
	if c == nil {
		return -1
	}
	return slices.Index(record.Standings(), c.Standing)
}

// SetStanding says how the claim stands, by its index.
func (v *Claims) SetStanding(i int) error {
	if i < 0 || i >= len(record.Standings()) || v.Selected() == "" {
		return nil
	}
	return v.s.EditClaim(v.Selected(), "Standing", func(c *record.Claim) { c.Standing = record.Standings()[i] })
}

// Gap says what the claim shown lacks, "" for nothing.
func (v *Claims) Gap() string {
	if c := v.Chosen(); c != nil {
		return annotate.ClaimGap(v.s.Scene().Record, c)
	}
	return ""
}

// Dated says what the dated parts and papers make of the claim shown, where it
// is about the year; contradicted is true where they speak against it. The
// shop's own tables are left to the Dating screen.
func (v *Claims) Dated() (sentence string, contradicted bool) {
	c := v.Chosen()
	if c == nil || c.About != "year" {
		return "", false
	}
	rec := v.s.Scene().Record
	r := dating.Reckon(rec, nil, rec.Examination.Date)
	text := strings.Join(strings.Fields(c.Text), " ")
	for i := range r.Claims {
		if k := &r.Claims[i]; r.Counted > 0 && k.Read && strings.Join(strings.Fields(k.Text), " ") == text {
			return k.Sentence(r), k.Verdict == dating.Contradicted
		}
	}
	return "", false
}

// Tied are the photos and attachments of the claim shown, and Tieable those that
// it could have.
func (v *Claims) Tied() []FileChoice {
	if c := v.Chosen(); c != nil {
		return fileChoices(v.s.Scene().Record, func(id string) bool { return slices.Contains(c.Files, id) })
	}
	return nil
}

// Tieable are the photos and attachments that the claim shown is not tied to.
func (v *Claims) Tieable() []FileChoice {
	if c := v.Chosen(); c != nil {
		return fileChoices(v.s.Scene().Record, func(id string) bool { return !slices.Contains(c.Files, id) })
	}
	return nil
}

// Tie ties the claim shown to a photo or an attachment; Untie undoes it.
func (v *Claims) Tie(id string) error {
	return v.s.EditClaim(v.Selected(), "File", func(c *record.Claim) {
		if !slices.Contains(c.Files, id) {
			c.Files = append(c.Files, id)
		}
	})
}

// Untie takes a photo or an attachment off the claim shown.
func (v *Claims) Untie(id string) error {
	return v.s.EditClaim(v.Selected(), "File", func(c *record.Claim) {
		c.Files = slices.DeleteFunc(c.Files, func(f string) bool { return f == id })
	})
}

// Tab is the words of the tab: "Claims", with how many there are.
func (v *Claims) Tab() string { return counted("Claims", len(v.s.Scene().Record.Claims)) }

// existing are those of the files that the examination has.
func existing(rec *record.Record, files []string) []string {
	var out []string
	for _, f := range files {
		if rec.PhotoByID(f) != nil || annotate.Attachment(rec, f) != nil {
			out = append(out, f)
		}
	}
	return out
}

// fileChoices names the photos and attachments that are wanted, attachments
// first: papers are what a claim is usually tied to.
func fileChoices(rec *record.Record, wanted func(id string) bool) []FileChoice {
	var out []FileChoice
	for i := range rec.Attachments {
		if a := &rec.Attachments[i]; wanted(a.ID) {
			out = append(out, FileChoice{a.ID, AttachmentName(a)})
		}
	}
	for _, p := range rec.Photos {
		if wanted(p.ID) {
			out = append(out, FileChoice{p.ID, PhotoName(p)})
		}
	}
	return out
}
