package page

import (
	"slices"
	"strings"

	"wornwood/capture/record"
	"wornwood/pdfout/catalogue"
	"wornwood/pdfout/paint"
)

// instead stands for a character that no typeface of the report has: the
// replacement character of Unicode, which they do have.
const instead = '\uFFFD'

// foreign are the texts of a photo that came with its file. Nobody can write
// them another way, so they must not stop a report.
func foreign(p *record.Photo) []*string {
	list := []*string{&p.Name, &p.Taken, &p.Camera, &p.Serial, &p.Software}
	for i := range p.Differences {
		list = append(list, &p.Differences[i].First, &p.Differences[i].Second)
	}
	for i := range p.Remarks {
		list = append(list, &p.Remarks[i])
	}
	return list
}

// printable is the record as the pages print it: characters that they cannot
// print in texts that came with a file are replaced, with a remark at that
// photo. The record inside the report keeps them. r itself stays as it is.
func printable(r *record.Record, t *catalogue.Text) *record.Record {
	out := *r
	out.Photos = slices.Clone(r.Photos)
	for i := range out.Photos {
		p := &out.Photos[i]
		p.Differences, p.Remarks = slices.Clone(p.Differences), slices.Clone(p.Remarks)
		changed := false
		for _, s := range foreign(p) {
			if t := replaced(*s); t != *s {
				*s, changed = t, true
			}
		}
		if changed {
			p.Remarks = append(p.Remarks, t.Say("foreign.note", string(instead)))
		}
	}
	return &out
}

// replaced is a text with what cannot be printed replaced, except white space,
// which is set as a space.
func replaced(s string) string {
	if paint.CheckText(clean(s)) == nil {
		return s
	}
	return strings.Map(func(r rune) rune {
		if paint.Has(paint.Sans, r) {
			return r
		}
		return instead
	}, clean(s))
}
