package archive

import (
	"encoding/base64"
	"fmt"
	"html/template"
	"slices"
	"strings"

	"wornwood/annotate/compare"
)

// tables lists marks and parts over the examinations: the last before, and the
// latest since.
func (s *summary) tables(h *History, day string) {
	var at []int
	for i := range h.Looks {
		at = append(at, i)
	}
	if n := len(at); n > maxColumns {
		at = append(at[:1:1], at[n-maxColumns+1:]...)
	}
	for _, i := range at {
		c := summaryColumn{h.Looks[i].Report.Date, "since"}
		if c.Date < day {
			c.When = "before"
		}
		s.Columns = append(s.Columns, c)
	}
	for _, m := range h.Marks {
		if len(s.Marks) == maxSummaryMarks {
			s.MarksLeft++
			continue
		}
		row := summaryMark{Title: m.Title, Where: m.Where}
		for _, i := range at {
			row.Cells = append(row.Cells, cellText(m.Cells[i], m.Title))
		}
		s.Marks = append(s.Marks, row)
	}
	for _, p := range h.Parts {
		row := summaryPart{Part: p.Part}
		for _, i := range at {
			row.States = append(row.States, p.States[i])
		}
		for _, st := range row.States {
			row.Changed = row.Changed || st != row.States[0]
		}
		if row.Changed || slices.ContainsFunc(row.States, func(st string) bool { return st != "original" && st != "" }) {
			s.Parts = append(s.Parts, row)
		}
	}
}

// cellText is what one examination says of a mark that is called so in the end.
func cellText(c MarkCell, title string) summaryCell {
	var words []string
	if c.Listed() {
		words = append(words, fmt.Sprintf("no. %d", c.Number))
	}
	if c.Title != "" && c.Title != title {
		words = append(words, strings.ToLower(c.Title))
	}
	if c.Size != "" {
		words = append(words, c.Size)
	}
	news := false
	switch c.Fate {
	case "", compare.Same:
	case compare.New:
		words, news = append(words, "new"), true
	default:
		words, news = append(words, string(c.Fate)), c.Fate != compare.NotSeen && c.Fate != compare.Again
	}
	return summaryCell{strings.Join(words, ", "), news}
}

// views are photos of the same view side by side.
func (b *bundling) views(s *summary, h *History) error {
	rows := h.Views()
	rows = rows[:min(len(rows), maxViews)]
	at := make([]int, 0, maxColumns)
	for i := range h.Looks {
		if slices.ContainsFunc(s.Columns, func(c summaryColumn) bool { return c.Date == h.Looks[i].Report.Date }) && len(at) < maxColumns {
			at = append(at, i)
		}
	}
	found := map[int]map[string][]byte{}
	for _, i := range at {
		var ids []string
		for _, v := range rows {
			if id := v.Photos[i]; id != "" {
				ids = append(ids, id)
			}
		}
		if len(ids) == 0 {
			continue
		}
		var err error
		if found[i], err = b.a.Photos(b.ctx, h.Looks[i].Report.Hash, ids, pictureSize); err != nil {
			if b.ctx.Err() != nil {
				return err
			}
			found[i] = nil // a report whose pictures cannot be taken out is still in the bundle
		}
	}
	for _, v := range rows {
		row, any := summaryView{View: v.View}, false
		for _, i := range at {
			p := summaryPicture{Date: h.Looks[i].Report.Date}
			if data := found[i][v.Photos[i]]; len(data) > 0 {
				p.Data, any = template.URL("data:image/jpeg;base64,"+base64.StdEncoding.EncodeToString(data)), true
			}
			row.Pictures = append(row.Pictures, p)
		}
		if any {
			s.Views = append(s.Views, row)
		}
	}
	return nil
}
