//go:build ci

package ui

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"

	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/ui/view"
)

// datedWindow is the demonstration with dated things of every sort: codes on
// potentiometers, one of them replaced, a serial number in a table, a feature,
// a receipt, an inscription that contradicts and a code that cannot be read.
func datedWindow(t *testing.T, size fyne.Size, dark bool) *Window {
	t.Helper()
	w := bareWindow(t, size, dark)
	if _, err := w.bench.SetTable(bench.SerialTable, ".csv", []byte("pattern,first,last,from year,to year,for,source\n#####,40000,44999,1973,1975,Halden,day book\n#####,45000,49999,1976,1978,Halden,day book\n")); err != nil {
		t.Fatal(err)
	}
	if _, err := w.bench.SetTable(bench.FeatureTable, ".csv", []byte("for,feature,in or after,in or before,source\nHalden,three-ply guard,1971,1978,day book\n")); err != nil {
		t.Fatal(err)
	}
	var cs []record.Change
	for _, c := range []record.Component{
		{ID: "pa", Kind: record.PotComponent, Place: "volume", Code: "137-7312", State: record.Original},
		{ID: "pb", Kind: record.PotComponent, Place: "tone 1", Code: "137634"},
		{ID: "pc", Kind: record.PotComponent, Place: "tone 2", Code: "304 8122", State: record.LaterReplacement},
		{ID: "pd", Kind: record.PotComponent, Place: "blend", Code: "137-7399", State: record.Original},
	} {
		ch, err := record.Set(record.ComponentTarget(c.ID), c)
		if err != nil {
			t.Fatal(err)
		}
		cs = append(cs, ch)
	}
	if err := w.exam.s.Do("Components", cs...); err != nil {
		t.Fatal(err)
	}
	for _, e := range []record.Evidence{
		{Kind: record.DocumentEvidence, What: "receipt", To: 1975, Source: "shown by the owner"},
		{Kind: record.FeatureEvidence, What: "three-ply guard", From: 1971, To: 1978, Source: "day book"},
		{Kind: record.InscribedDate, What: "pencilled date in the neck pocket", Bound: record.InOrAfter, From: 1976, Note: "reads 3-76, in another hand"},
	} {
		if _, err := w.exam.s.AddEvidence(e); err != nil {
			t.Fatal(err)
		}
	}
	return w
}

func TestDatingStands(t *testing.T) {
	for _, v := range variants {
		t.Run(v.name, func(t *testing.T) {
			w := datedWindow(t, v.size, v.dark)
			w.ShowScreen(view.DatingScreen)
			s := w.frame.now.(*datingScreen)
			s.pick("listed/e1")
			img := capture(t, w, "dating-"+v.name)
			checkPicture(t, "dating", img, v.size, v.dark)
			seen := lookAt(w)
			for _, f := range seen.faults() {
				t.Error(f)
			}
			t.Logf("shortened: %q", seen.cut)
			for _, text := range []string{"Dating", "Allowed together", "claimed 1974", "Receipt", "≠", "–", "?", "1975 or earlier"} {
				if !seen.has(text) {
					t.Errorf("the screen does not say %q", text)
				}
			}
			for _, text := range []string{"contradicted by the pencilled date in the neck pocket", "A date on a part is the date of that part."} {
				if !strings.Contains(seen.joined(), text) {
					t.Errorf("the screen does not say %q", text)
				}
			}
		})
	}
}

// TestDatingEmpty renders the screen before anything is listed, and each sheet
// of the tables.
func TestDatingEmpty(t *testing.T) {
	w := bareWindow(t, small, false)
	w.ShowScreen(view.DatingScreen)
	capture(t, w, "dating-empty")
	for _, f := range lookAt(w).faults() {
		t.Error(f)
	}
	if _, err := w.bench.SetTable(bench.SerialTable, ".csv", []byte("pattern,first,last,from year\nL#####,1,99,1970\nL#####,9,1,1970\n")); err != nil {
		t.Fatal(err)
	}
	s := w.frame.now.(*datingScreen)
	w.showTables(s)
	capture(t, w, "dating-tables")
	seen := lookAt(w)
	for _, f := range seen.faults() {
		t.Error(f)
	}
	if !strings.Contains(seen.joined(), "tables/serials.csv, line 3: the numbers run from 9 back to 1") {
		t.Errorf("the sheet does not name the bad line: %s", seen.joined())
	}
	if err := os.Remove(filepath.Join(w.bench.Dir(), "tables", "serials.csv")); err != nil {
		t.Fatal(err)
	}
	press(w, fyne.KeyEscape)
	w.askSerialLine(view.NewOwnTables(w.bench), func() {})
	capture(t, w, "dating-line")
	for _, f := range lookAt(w).faults() {
		t.Error(f)
	}
}

// TestDatingByKeyboard adds a code by a button and the keyboard alone: it is
// read aloud letter by letter, Enter and Tab keep the keyboard in the form, the
// arrows walk the rows and keep the selected one in sight.
func TestDatingByKeyboard(t *testing.T) {
	w := datedWindow(t, small, false)
	w.ShowScreen(view.DatingScreen)
	settle(w)
	s := w.frame.now.(*datingScreen)
	s.add(record.CodeEvidence)
	for i, c := range []struct{ typed, says string }{{"1376", "5 to 8 digits"}, {"34", "week 34 of 1956, 1966 or 1976"}, {"99", "no week of 01 to 53"}} {
		typeText(t, w, c.typed)
		if got := lookAt(w).joined(); !strings.Contains(got, c.says) {
			t.Errorf("after %d steps the form does not say %q", i+1, c.says)
		}
	}
	press(w, fyne.KeyBackspace, fyne.KeyBackspace)
	w.win.Canvas().FocusNext() // Tab: the code is taken, and other years are asked
	last := func() record.Evidence {
		l := w.exam.s.Scene().Record.Evidence
		return l[len(l)-1]
	}
	if e := last(); e.Code != "137634" {
		t.Fatalf("the code is kept as %q", e.Code)
	}
	w.win.Canvas().FocusNext() // past the choice of years
	typeText(t, w, "1960")
	w.win.Canvas().FocusNext()
	typeText(t, w, "1969")
	press(w, fyne.KeyReturn)
	if e := last(); e.From != 1960 || e.To != 1969 {
		t.Errorf("its years are kept as %d to %d", e.From, e.To)
	}
	if got := s.m.Selected().Allows.Words(); got != "week 34 of 1966 or later" {
		t.Errorf("it allows %s", got)
	}
	settle(w)
	capture(t, w, "dating-code")
	for _, f := range lookAt(w).faults() {
		t.Error(f)
	}
	w.win.Canvas().Focus(s.bars)
	for _, c := range []struct {
		key  fyne.KeyName
		want int
	}{{fyne.KeyHome, 1}, {fyne.KeyDown, 2}, {fyne.KeyDown, 3}, {fyne.KeyUp, 2}, {fyne.KeyEnd, 9}, {fyne.KeyDown, 9}} {
		s.bars.TypedKey(&fyne.KeyEvent{Name: c.key})
		_, rows := s.m.Chart()
		at := slices.IndexFunc(rows, func(r view.EvidenceRow) bool { return r.Selected }) + 1
		if at != c.want {
			t.Errorf("%s goes to row %d, want %d", c.key, at, c.want)
		}
		top, bottom, ok := s.bars.selected()
		if off := s.scroll.Offset.Y; !ok || top < off || bottom > off+s.scroll.Size().Height {
			t.Errorf("row %d, at %v to %v, is out of sight at %v", at, top, bottom, off)
		}
	}
	s.hover("component/pc")
	if got := lookAt(w).joined(); !strings.Contains(got, "Not counted: the potentiometer is called a later replacement.") {
		t.Error("pointing at a row does not show what it says")
	}
}

// TestDatingFrozen: after issuing nothing can be changed here.
func TestDatingFrozen(t *testing.T) {
	w := datedWindow(t, small, false)
	if err := w.exam.ex.SetIssued(record.Issued{Number: "CR-2026-0001", File: "reports/CR-2026-0001.pdf"}); err != nil {
		t.Fatal(err)
	}
	w.exam.s.Refresh()
	w.ShowScreen(view.DatingScreen)
	s := w.frame.now.(*datingScreen)
	s.pick("listed/e1")
	n := 0
	for _, k := range s.form.kept {
		if k.field != nil {
			if !k.field.Entry().Disabled() {
				t.Error("a field of an issued examination can be typed in")
			}
			n++
		}
	}
	if n < 4 {
		t.Fatalf("only %d fields were looked at", n)
	}
}

// TestDatingRefresh: following a change with 40 pieces listed is quick enough to
// be done after every key (1 ms here; the bound allows for a slow machine).
func TestDatingRefresh(t *testing.T) {
	w := datedWindow(t, small, false)
	for i := range 32 {
		if _, err := w.exam.s.AddEvidence(record.Evidence{Kind: record.DocumentEvidence, What: "receipt", To: 1970 + i%9}); err != nil {
			t.Fatal(err)
		}
	}
	w.ShowScreen(view.DatingScreen)
	s := w.frame.now.(*datingScreen)
	s.pick("listed/e1")
	if n := len(s.bars.rows); n != 40 {
		t.Fatalf("%d rows", n)
	}
	began := time.Now()
	const times = 20
	for range times {
		s.m.Reload()
		s.refresh()
	}
	each := time.Since(began) / times
	t.Logf("a refresh of 40 rows takes %v", each)
	if each > 100*time.Millisecond {
		t.Errorf("a refresh of 40 rows takes %v", each)
	}
}
