package ui

import (
	"fmt"

	"wornwood/pdfout/archive"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// askCalendar asks where to write what is shown as a calendar.
func (s *archiveDue) askCalendar() {
	m := s.m
	s.w.askPath("Export calendar", "A file that ends with .ics; an older calendar of that name is replaced", "Export", false, func(path string) {
		s.w.try(func() error {
			if err := m.SaveCalendar(path); err != nil {
				return err
			}
			s.w.Tell("Exported", fmt.Sprintf("%s holds %d all-day events with a reminder each. Export it again under the same name after changes: events keep their identity, so a calendar that reads the file moves them.", shortPath(path), m.Count()))
			return nil
		})
	})
}

// askPolicy asks for a new policy (row -1), or for what changes of one.
func (s *archiveDue) askPolicy(row int) {
	if s.m == nil {
		return
	}
	names := s.m.Collections()
	var e view.PolicyEntry
	title, main := "New policy", "Enter it"
	if row >= 0 {
		e = s.m.Entry(row)
		title, main = "Change policy "+e.Number, "Change it"
	}
	if s.w.bench != nil {
		e.By = s.w.bench.Settings().Examiner
	}
	var sh *sheet
	field := func(caption, unit string, into *string) *look.Field {
		f := look.NewField(caption, unit, func(t string) { *into = t })
		f.Set(*into)
		f.OnCancel = func() { sh.hide() }
		return f
	}
	number := field("Number", "", &e.Number)
	holder := field("Holder", "", &e.Holder)
	collection := look.NewSelect(names, "choose", func(c string) { e.Collection = c })
	collection.Set(e.Collection)
	from, to := field("First day insured", "year-month-day", &e.From), field("Last day insured", "year-month-day", &e.To)
	sum, months := field("Sum in all, with its currency", "such as 250000.00 EUR", &e.Sum), field("A report may be so old", "months", &e.Months)
	by := field("Who enters it", "", &e.By)
	all := []*look.Field{number, holder, from, to, sum, months, by}
	rows := look.Spaced(10,
		look.SpacedColumns(12, look.Flex(1, number), look.Flex(1.4, holder)), look.Captioned("Insures what is in this collection", collection),
		look.SpacedColumns(12, look.Flex(1, from), look.Flex(1, to)), look.SpacedColumns(12, look.Flex(1.4, sum), look.Flex(1, months)))
	if row >= 0 {
		number.Disable()
		why, on := field("Why", "", &e.Why), field("Holds from", "year-month-day; today if empty", &e.On)
		all = append(all, why, on)
		rows.Add(look.SpacedColumns(12, look.Flex(1.4, why), look.Flex(1, on)))
	}
	rows.Add(by)
	write := func() {
		for i, into := range []*string{&e.Number, &e.Holder, &e.From, &e.To, &e.Sum, &e.Months, &e.By, &e.Why, &e.On}[:len(all)] {
			*into = all[i].Text() // also what was typed and not left yet
		}
		s.decide(sh, s.m.Archive(), func(a *archive.Archive) error { return s.m.WritePolicy(a, row, e) })
	}
	sh = s.w.showSheet(title, 560, rows, "Cancel", look.NewButton(main, "", look.Main, write))
	if row < 0 {
		if len(names) == 1 {
			collection.Set(names[0])
			e.Collection = names[0]
		}
		number.Focus(s.w.win.Canvas())
	} else {
		holder.Focus(s.w.win.Canvas())
	}
}

// askEnd asks with which day a policy ends.
func (s *archiveDue) askEnd(row int) {
	s.askDay("End policy "+s.m.PolicyRow(row).Number, "Days before stay insured. What was insured is kept in the log.", "Last day insured",
		func(a *archive.Archive, by, day, why string) error { return s.m.EndPolicy(a, row, by, day, why) })
}

// askEndCollection asks from which day on a collection is empty.
func (s *archiveDue) askEndCollection(row int) {
	s.askDay("End the collection "+s.m.CollectionRow(row).Name, "Everything is taken out of it. What was in it on earlier days is kept in the log.", "First day on which it is empty",
		func(a *archive.Archive, by, day, why string) error { return s.m.EndCollection(a, row, by, day, why) })
}

// askDay asks for a day, why and who, and has it written.
func (s *archiveDue) askDay(title, says, caption string, do func(a *archive.Archive, by, day, why string) error) {
	var sh *sheet
	day, why, by := look.NewField(caption, "year-month-day; today if empty", nil), look.NewField("Why", "", nil), look.NewField("Who ends it", "", nil)
	if s.w.bench != nil {
		by.Set(s.w.bench.Settings().Examiner)
	}
	for _, f := range []*look.Field{day, why, by} {
		f.OnCancel = func() { sh.hide() }
	}
	sh = s.w.showSheet(title, 460, look.Spaced(10, paragraphs(says), day, why, by), "Cancel", look.NewButton("End it", "", look.Main, func() {
		s.decide(sh, s.m.Archive(), func(a *archive.Archive) error { return do(a, by.Text(), day.Text(), why.Text()) })
	}))
	day.Focus(s.w.win.Canvas())
}

// collect asks into which collection the instruments of reports go, or, without
// any, an instrument that has none yet. name proposes a collection. It may be
// offered wherever reports are listed.
func (s *archiveDue) collect(a *archive.Archive, name string, hashes ...string) {
	var sh *sheet
	set, what, serial := look.NewField("Collection; a new name makes one", "", nil), look.NewField("An instrument without a report: what it is", "", nil), look.NewField("Its serial number", "", nil)
	since, by := look.NewField("Since", "year-month-day; today if empty", nil), look.NewField("Who puts it there", "", nil)
	if set.Set(name); s.w.bench != nil {
		by.Set(s.w.bench.Settings().Examiner)
	}
	for _, f := range []*look.Field{set, what, serial, since, by} {
		f.OnCancel = func() { sh.hide() }
	}
	title, rows := "Put "+plural(len(hashes), "a report", "reports")+" into a collection", look.Spaced(10, set)
	if len(hashes) == 0 {
		title = "Collection"
		rows.Add(look.SpacedColumns(12, look.Flex(2, what), look.Flex(1, serial)))
	}
	rows.Add(since)
	rows.Add(by)
	sh = s.w.showSheet(title, 520, rows, "Cancel", look.NewButton("Put it there", "", look.Main, func() {
		e := view.CollectionEntry{Name: set.Text(), What: what.Text(), Serial: serial.Text(), Since: since.Text(), By: by.Text()}
		s.decide(sh, a, func(a *archive.Archive) error {
			_, err := view.Collect(a, e, hashes...)
			return err
		})
	}))
	if name == "" {
		set.Focus(s.w.win.Canvas())
	} else {
		what.Focus(s.w.win.Canvas())
	}
}

// decide writes what a person decided, and reads the pane anew. When it cannot
// be, the sheet stays with what was typed.
func (s *archiveDue) decide(sh *sheet, a *archive.Archive, do func(*archive.Archive) error) {
	change := s.change
	if change == nil {
		change = func(do func(*archive.Archive) error) error { return do(a) }
	}
	if err := change(do); err != nil {
		s.w.Fail(err)
		return
	}
	sh.hide()
	s.show(a)
	if s.onChanged != nil {
		s.onChanged()
	}
}
