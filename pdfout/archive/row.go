package archive

import (
	"strings"
	"time"

	"wornwood/annotate/dating"
	"wornwood/capture/record"
	"wornwood/pdfout"
	"wornwood/pdfout/sign"
)

// How well the signer of a filed report was known when it was filed.
const (
	KnownKey   = "known"   // the key is on the list of known keys
	TrustedKey = "trusted" // a trusted authority certified it
	UnknownKey = "unknown"
)

// PartState is a part and what it is.
type PartState struct {
	Part  string `json:"part"`
	State string `json:"state"`
}

// Row is what the index knows of one filed report: what a list shows, what an
// export writes, what a query asks for.
type Row struct {
	Hash          string      `json:"sha256"`
	Seq           int64       `json:"seq"` // of its line in the log
	Filed         time.Time   `json:"filed"`
	Source        string      `json:"source"`
	Size          int64       `json:"size"` // bytes
	Number        string      `json:"number"`
	Maker         string      `json:"maker"`
	Model         string      `json:"model"`
	Edition       string      `json:"edition"`
	Class         string      `json:"class"`
	Year          string      `json:"year"`     // as claimed
	YearFrom      int         `json:"yearFrom"` // first and last year of the claim; 0 and 0 where it names none
	YearTo        int         `json:"yearTo"`
	Serial        string      `json:"serial"`
	Date          string      `json:"date"` // of the examination, where it was made
	Purpose       string      `json:"purpose"`
	Examiner      string      `json:"examiner"`
	Shop          string      `json:"shop"`
	Index         *float64    `json:"index"`     // condition 0..100; null when nothing was inspected
	Condition     int         `json:"condition"` // class 1..6; 0 when nothing was inspected
	Originality   *float64    `json:"originality"`
	Photos        int         `json:"photos"`
	Originals     int         `json:"originals"` // original photos inside
	Kinds         []string    `json:"kinds"`     // of its marks, one for each mark
	Parts         []PartState `json:"parts"`
	Key           string      `json:"key"`     // fingerprint of the examiner's key
	KeyName       string      `json:"keyName"` // as known here, else as the certificate says
	Verdict       string      `json:"verdict"` // known, trusted, unknown
	Countersigned bool        `json:"countersigned"`
	Stamped       bool        `json:"stamped"` // a trusted authority vouches for the time
	First         string      `json:"first"`
	Linked        string      `json:"linked,omitempty"`
	Instrument    string      `json:"instrument,omitempty"` // ID within the bench of whoever examined it
	Words         string      `json:"-"`                    // everything else that is found by words
}

// openYear stands for the open end of "after 1970".
const openYear = 9999

// rowOf is the row of a filed report.
func rowOf(e Entry, v *pdfout.Verdict) Row {
	r := v.Record
	row := Row{Hash: e.File, Seq: e.Seq, Filed: e.Time, Source: e.Source, Size: e.Size, Number: r.Examination.Number,
		Maker: r.Instrument.Maker, Model: r.Instrument.Model, Edition: r.Instrument.Edition, Class: r.Instrument.Class, Year: r.Instrument.Year, Serial: r.Instrument.Serial,
		Date: r.Examination.Date.Format(time.DateOnly), Purpose: string(r.Examination.Purpose), Examiner: r.Examination.Examiner, Shop: r.Examination.Shop,
		Photos: len(r.Photos), Kinds: []string{}, Parts: []PartState{}, Countersigned: v.Countersigned, Stamped: v.Has(sign.TrustedTime), First: e.First, Linked: e.Linked, Instrument: r.Examination.Instrument, Words: wordsOf(r)}
	if from, to, ok := dating.ClaimedYears(r.Instrument.Year); ok {
		row.YearFrom, row.YearTo = from, to
		if to == 0 {
			row.YearTo = openYear
		}
	}
	if g := v.Grade; g != nil {
		row.Index, row.Condition, row.Originality = g.Index, g.Class, g.Originality
	}
	if v.Originals != nil {
		row.Originals = v.Originals.Inside
	}
	for _, m := range r.Marks {
		row.Kinds = append(row.Kinds, string(m.Kind))
	}
	for _, p := range r.Parts {
		if p.State != "" {
			row.Parts = append(row.Parts, PartState{string(p.ID), string(p.State)})
		}
	}
	row.signer(v)
	return row
}

func (row *Row) signer(v *pdfout.Verdict) {
	row.Verdict = UnknownKey
	if len(v.Signatures) == 0 {
		return
	}
	s := v.Signatures[0]
	row.Key, row.KeyName = s.Fingerprint, s.Signer
	switch {
	case s.Known:
		row.Verdict, row.KeyName = KnownKey, s.KnownAs
	case s.Trusted:
		row.Verdict = TrustedKey
	}
}

// Title is the line an instrument is known by.
func (row Row) Title() string {
	return record.Instrument{Maker: row.Maker, Model: row.Model, Edition: row.Edition}.Title()
}

// maxWords bounds the words indexed of one report, in bytes.
const maxWords = 64 << 10

// wordsOf are the texts of a record by which it is found, beside the fields
// that have columns of their own.
func wordsOf(r *record.Record) string {
	i, x := r.Instrument, r.Examination
	w := []string{x.Number, x.Instrument, i.Serial, i.Year, i.Edition, i.Colour, i.Coating, i.Body, i.Neck, i.Fingerboard, i.Hardware, i.Inlays, i.Electronics, i.WithIt, i.Material, x.Note, x.Summary, string(x.Purpose)}
	for _, c := range r.Claims {
		w = append(w, c.About, c.Text, c.By, c.Support)
	}
	for _, m := range r.Marks {
		w = append(w, string(m.Kind), m.Note)
	}
	for _, p := range r.Parts {
		w = append(w, p.Note)
	}
	for _, e := range r.Extras {
		w = append(w, e.What, e.Note)
	}
	for _, p := range r.Photos {
		w = append(w, p.Caption)
	}
	w = append(w, r.NotExamined...)
	s := strings.Join(w, " \n")
	return strings.ToValidUTF8(s[:min(len(s), maxWords)], "")
}
