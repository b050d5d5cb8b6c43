//go:build ci

package ui

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

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
	w := demoWindow(t, size, dark)
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
	w := demoWindow(t, small, false)
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
