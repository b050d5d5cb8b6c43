package pdf

import (
	"fmt"
	"time"
	"unicode/utf8"
)

// Rect is a rectangle in points (1/72 inch) from the lower left corner of the
// page: left, bottom, right, top.
type Rect [4]float64

// Options say what Rewrite adds to the drawn pages.
type Options struct {
	Title    string // required
	Author   string
	Subject  string
	Keywords string
	Producer string
	Created  time.Time // required; written to the second in UTC
	Lang     string    // required: a language tag of BCP 47, such as "en-GB"

	Attachments []Attachment
	Fields      []Field
	// Structure lists the elements of the logical structure in reading order.
	// With it the file is marked as tagged and claims ISO 14289-1, and every
	// mark on a page must then stand in a tag or an artifact.
	Structure []Element

	// Probe writes a variant without attachments, fields, structure and
	// transparency, as PDF 1.4 and ISO 19005-1 level B, for validators that
	// know no later part. It is for checking, never for issuing.
	Probe bool
}

// Attachment is a file carried inside the PDF (ISO 19005-3, 6.8).
type Attachment struct {
	Name         string // file name, perhaps in one folder; required and unique
	MediaType    string // such as "application/json"; required
	Description  string // what it is, for a person
	Relationship string // Source, Data, Alternative, Supplement or Unspecified; default Source
	Modified     time.Time
	Data         []byte
	// Later is the size of a file that is put in place when the rewriting is
	// done, so that it need not pass through memory: Data only stands in for
	// it. It is written as it is, without compression and checksum.
	Later int64
}

// Field is an empty signature field.
type Field struct {
	Name string // partial field name, such as "Examiner"; required and unique
	Page int    // from 1
	Rect Rect
	// Contents is read out in place of the field; required.
	Contents string
}

// Mark names one piece of marked content: page from 1, and its MCID there.
type Mark struct {
	Page, MCID int
}

// LinkRef names a link on a page: page from 1, and the link's place, from 0,
// in the order in which the links of that page were drawn.
type LinkRef struct {
	Page, Index int
}

// Element is one structure element (ISO 32000-1, 14.8.4). Its own marked
// content and links come before its children in reading order.
type Element struct {
	Type     string // a standard type: Sect, H1, P, Figure, Table, TR, TH, TD, L, LI, Link ...
	Content  []Mark
	Links    []LinkRef
	Children []Element

	Alt        string // required for Figure and Formula
	ActualText string
	Title      string
	Lang       string
	Scope      string // Row, Column or Both; required for TH
	ColSpan    int    // of TH and TD; 0 is 1
	RowSpan    int
	// BBox is where a figure stands on the page of its content. It is written
	// when it is not zero.
	BBox Rect
}

// standardTypes are the structure types of ISO 32000-1, 14.8.4, without those
// for ruby and warichu and without Note, which would need an identifier.
var standardTypes = map[string]bool{
	"Document": true, "Part": true, "Art": true, "Sect": true, "Div": true, "BlockQuote": true,
	"Caption": true, "TOC": true, "TOCI": true, "Index": true, "NonStruct": true,
	"P": true, "H": true, "H1": true, "H2": true, "H3": true, "H4": true, "H5": true, "H6": true,
	"L": true, "LI": true, "Lbl": true, "LBody": true,
	"Table": true, "TR": true, "TH": true, "TD": true, "THead": true, "TBody": true, "TFoot": true,
	"Span": true, "Quote": true, "Reference": true, "BibEntry": true, "Code": true,
	"Link": true, "Annot": true, "Figure": true, "Formula": true, "Form": true,
}

func (o *Options) check(pages int) error {
	switch {
	case o.Title == "":
		return fmt.Errorf("options: the document needs a Title")
	case o.Lang == "":
		return fmt.Errorf("options: the document needs a Lang")
	case o.Created.IsZero():
		return fmt.Errorf("options: the document needs a Created time")
	}
	for _, s := range []string{o.Title, o.Author, o.Subject, o.Keywords, o.Producer, o.Lang} {
		if err := checkText(s); err != nil {
			return err
		}
	}
	if err := o.checkAttachments(); err != nil {
		return err
	}
	names := map[string]bool{}
	for _, f := range o.Fields {
		switch {
		case f.Name == "" || names[f.Name]:
			return fmt.Errorf("options: field name %q is empty or used twice", f.Name)
		case f.Page < 1 || f.Page > pages:
			return fmt.Errorf("options: field %s is on page %d of %d", f.Name, f.Page, pages)
		case f.Rect[2] <= f.Rect[0] || f.Rect[3] <= f.Rect[1]:
			return fmt.Errorf("options: field %s has an empty rectangle", f.Name)
		case f.Contents == "":
			return fmt.Errorf("options: field %s needs Contents", f.Name)
		}
		names[f.Name] = true
		for _, s := range []string{f.Name, f.Contents} {
			if err := checkText(s); err != nil {
				return err
			}
		}
	}
	return checkElements(o.Structure)
}

func (o *Options) checkAttachments() error {
	names := map[string]bool{}
	for _, a := range o.Attachments {
		switch {
		case a.Name == "" || names[a.Name]:
			return fmt.Errorf("options: attachment name %q is empty or used twice", a.Name)
		case a.MediaType == "":
			return fmt.Errorf("options: attachment %s needs a MediaType", a.Name)
		case a.Later < 0 || (a.Later > 0 && len(a.Data) == 0):
			return fmt.Errorf("options: attachment %s comes later and needs a stand-in", a.Name)
		}
		for _, s := range []string{a.Name, a.Description} {
			if err := checkText(s); err != nil {
				return err
			}
		}
		switch a.Relationship {
		case "", "Source", "Data", "Alternative", "Supplement", "Unspecified":
		default:
			return fmt.Errorf("options: attachment %s: unknown Relationship %q", a.Name, a.Relationship)
		}
		names[a.Name] = true
	}
	return nil
}

func checkElements(list []Element) error {
	for i := range list {
		e := &list[i]
		switch {
		case !standardTypes[e.Type]:
			return fmt.Errorf("options: structure type %q is not a standard one", e.Type)
		case (e.Type == "Figure" || e.Type == "Formula") && e.Alt == "":
			return fmt.Errorf("options: a %s needs Alt", e.Type)
		case e.Type == "TH" && e.Scope != "Row" && e.Scope != "Column" && e.Scope != "Both":
			return fmt.Errorf("options: a TH needs Scope Row, Column or Both, not %q", e.Scope)
		}
		for _, s := range []string{e.Alt, e.ActualText, e.Title, e.Lang} {
			if err := checkText(s); err != nil {
				return err
			}
		}
		if err := checkElements(e.Children); err != nil {
			return err
		}
	}
	return nil
}

// checkText refuses what can stand neither in XML nor on paper.
func checkText(s string) error {
	if !utf8.ValidString(s) {
		return fmt.Errorf("options: text is not UTF-8")
	}
	for _, r := range s {
		if (r < ' ' && r != '\n' && r != '\t' && r != '\r') || r == 0xFFFE || r == 0xFFFF {
			return fmt.Errorf("options: text holds the control character U+%04X", r)
		}
	}
	return nil
}

// BasicPlane replaces the characters that a page drawing library with 16-bit
// codes cannot write, those above U+FFFF, by U+FFFD, and returns which ones
// were replaced, each once, in the order they came.
func BasicPlane(s string) (string, []rune) {
	var gone []rune
	seen := map[rune]bool{}
	out := []rune(s)
	for i, r := range out {
		if r <= 0xFFFF {
			continue
		}
		out[i] = utf8.RuneError
		if !seen[r] {
			seen[r] = true
			gone = append(gone, r)
		}
	}
	if gone == nil {
		return s, nil
	}
	return string(out), gone
}
