//go:build ci

package ui

import (
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"

	"wornwood/annotate/electronics"
	"wornwood/capture/record"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// electronicsNow shows the Electronics screen, painted, and returns it.
func (w *Window) electronicsNow(t *testing.T) *electronicsScreen {
	t.Helper()
	w.ShowScreen(view.ElectronicsScreen)
	settle(w)
	w.win.Canvas().Capture()
	s, ok := w.frame.now.(*electronicsScreen)
	if !ok {
		t.Fatalf("the Electronics screen is a %T", w.frame.now)
	}
	return s
}

// fillElectronics lists components with something of every kind of finding.
func fillElectronics(t *testing.T, w *Window) {
	t.Helper()
	s := w.exam.s
	_, set := electronics.UsualSet(s.Scene().Record.Instrument.Class)
	ids, err := s.AddComponents("Add the usual components", append(set, electronics.New(record.BatteryComponent)))
	if err != nil {
		t.Fatal(err)
	}
	if strings.Join(ids, " ") != "pickup-1 pickup-2 pot-1 pot-2 pot-3 pot-4 cap-1 cap-2 switch-1 jack-1 battery-1" {
		t.Fatalf("the usual set is %v", ids)
	}
	for _, put := range [][3]string{
		{"pickup-1", "type", "passive single-coil"}, {"pickup-1", "resistance", "7.42 ± 0.02"}, {"pickup-1", "ambient", "25 ± 1"}, {"pickup-1", "state", "original"}, {"pickup-1", "works", "works"},
		{"pickup-2", "type", "passive single-coil"}, {"pickup-2", "resistance", "open"}, {"pickup-2", "works", "dead"},
		{"pot-1", "nominal", "250"}, {"pot-1", "measured", "243"}, {"pot-1", "code", "137 7410"}, {"pot-1", "taper", "logarithmic"}, {"pot-1", "state", "original"}, {"pot-1", "works", "works"},
		{"pot-2", "nominal", "250"}, {"pot-2", "measured", "312"}, {"pot-2", "code", "137 7412"}, {"pot-2", "works", "scratchy"},
		{"pot-3", "nominal", "250"}, {"pot-3", "measured", "251"}, {"pot-3", "code", "137 8210"}, {"pot-3", "state", "later replacement"},
		{"pot-4", "nominal", "25"}, {"pot-4", "measured", "26.1"},
		{"cap-1", "code", "223K"}, {"cap-1", "measured", "22.4"}, {"cap-1", "make", "film"},
		{"cap-2", "nominal", "22"}, {"cap-2", "measured", "29.6"},
		{"battery-1", "type", "9 V block"}, {"battery-1", "voltage", "7.4"}, {"battery-1", "fitted", "2025-10-31"}, {"battery-1", "every", "12"}, {"battery-1", "current", "0.35"}, {"battery-1", "place", "cavity"},
	} {
		c, ok := s.Component(put[0])
		if !ok {
			t.Fatalf("no component %s", put[0])
		}
		for _, f := range view.ComponentFields(c.Kind) {
			if f.Key == put[1] {
				if err := f.Put(&c, put[2]); err != nil {
					t.Fatal(err)
				}
			}
		}
		if err := s.SetComponent(put[0], put[1], func(to *record.Component) { *to = c }); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.SetWiring("State", func(w *record.Wiring) {
		w.Seen, w.State, w.Solder = "seen", record.Original, "dull and undisturbed, one lug re-flowed"
	}); err != nil {
		t.Fatal(err)
	}
}

// TestElectronicsStands renders the screen empty, filled, and each of its pages
// at both sizes, light and dark.
func TestElectronicsStands(t *testing.T) {
	for _, v := range variants {
		t.Run(v.name, func(t *testing.T) {
			w := bareWindow(t, v.size, v.dark)
			for _, c := range w.exam.s.Scene().Record.Components {
				if err := w.exam.s.RemoveComponent(c.ID); err != nil {
					t.Fatal(err)
				}
			}
			w.electronicsNow(t)
			capture(t, w, "electronics-empty-"+v.name)
			stands(t, "empty", w, "Add the usual set", "two volumes")
			fillElectronics(t, w)
			s := w.electronicsNow(t)
			photos := w.exam.s.Scene().Record.Photos
			s.choose("pot-2")
			if err := s.m.Tie(photos[0].ID); err != nil {
				t.Fatal(err)
			}
			img := capture(t, w, "electronics-findings-"+v.name)
			checkPicture(t, "electronics", img, v.size, v.dark)
			stands(t, "findings", w, "243 kΩ", "312 kΩ", "7.28 ± 0.03 kΩ", "Look again", "wrong", "pot-2")
			s.choose("pickup-1")
			if err := s.m.TieWiring(photos[1].ID); err != nil {
				t.Fatal(err)
			}
			s.tabs.Set(1)
			s.showPage()
			capture(t, w, "electronics-wiring-"+v.name)
			stands(t, "wiring", w, "Solder", "Wiring", "pF", "Amplifier's input")
			s.choose("battery-1")
			s.tabs.Set(2)
			s.showPage()
			w.win.Canvas().Unfocus()
			capture(t, w, "electronics-response-"+v.name)
			stands(t, "response", w, "Volume", "kHz", "mAh", "Next change by 2026-10-31")
			s.choose("cap-1")
			capture(t, w, "electronics-capacitor-"+v.name)
			stands(t, "capacitor", w, "The code says 22 nF ±10 %", "Take as nominal", "nF")
		})
	}
}

// stands looks for faults of layout and for words.
func stands(t *testing.T, name string, w *Window, words ...string) {
	t.Helper()
	s := lookAt(w)
	for _, f := range s.faults() {
		t.Errorf("%s: %s", name, f)
	}
	all := s.joined()
	for _, word := range words {
		if !strings.Contains(all, word) {
			t.Errorf("%s does not say %q", name, word)
		}
	}
	if len(s.cut) > 0 {
		t.Logf("%s, shortened: %q", name, s.cut)
	}
}

// hand counts what a person does: a click, a key that moves on, a typed value.
type hand struct {
	t *testing.T
	w *Window
	n int
}

func (h *hand) click(b *look.Button) { h.n++; b.Tapped(nil) }

// typed types a value and presses Enter, which goes on to the next figure.
func (h *hand) typed(text string) {
	h.t.Helper()
	h.n += 2
	typeText(h.t, h.w, text)
	press(h.w, fyne.KeyReturn)
}

// TestElectronicsFastEntry fills two pickups' resistance, four potentiometers'
// nominal and measured value and code, and a battery, by keys alone but for the
// clicks that add them, in fewer than 50 actions.
func TestElectronicsFastEntry(t *testing.T) {
	w := bareWindow(t, small, false)
	for _, c := range w.exam.s.Scene().Record.Components {
		if err := w.exam.s.RemoveComponent(c.ID); err != nil {
			t.Fatal(err)
		}
	}
	s := w.electronicsNow(t)
	h := &hand{t: t, w: w}
	h.click(s.usual)
	for _, v := range []string{"7,42", "7.9", // resistances
		"250", "243", "137 7410", "250", "251", "137 7412", "250", "312", "137 7411", "250", "239", "137 7412"} {
		h.typed(v)
	}
	h.n += 2 // Add…, Battery
	s.addKind(record.BatteryComponent)
	for _, v := range []string{"cavity", "9.2", "today", "12"} { // its place is asked first
		h.typed(v)
	}
	if h.n >= 50 {
		t.Errorf("%d actions", h.n)
	}
	t.Logf("%d actions", h.n)
	for id, want := range map[string]string{"pickup-1": "7.42 kΩ", "pickup-2": "7.9 kΩ", "pot-1": "243 kΩ", "pot-2": "251 kΩ", "pot-3": "312 kΩ", "pot-4": "239 kΩ", "battery-1": "9.2 V"} {
		c, ok := w.exam.s.Component(id)
		if l := electronics.LineOf(c); !ok || l.Measured != want {
			t.Errorf("%s reads %q, want %q", id, l.Measured, want)
		}
	}
	c, _ := w.exam.s.Component("pot-4")
	b, _ := w.exam.s.Component("battery-1")
	if c.Code != "137 7412" || c.Pot.Nominal != 250 || b.Battery.Fitted != "2026-11-14" || b.Battery.Every != 12 {
		t.Errorf("%+v %+v", c, b.Battery)
	}
	// Every figure was one step, so undo takes back the last one alone.
	if name, err := w.exam.s.Undo(); err != nil || name != "Change every of cavity battery" {
		t.Errorf("undo takes back %q (%v)", name, err)
	}
}

// TestElectronicsOverwrites types over a value that stands there, takes it back
// with Escape, and takes what a code says by one click.
func TestElectronicsOverwrites(t *testing.T) {
	w := bareWindow(t, small, false)
	fillElectronics(t, w)
	s := w.electronicsNow(t)
	s.choose("pot-1")
	typeText(t, w, "300")
	press(w, fyne.KeyReturn)
	if c, _ := w.exam.s.Component("pot-1"); c.Pot.Nominal != 300 {
		t.Errorf("300 typed over 250 gives %v", c.Pot.Nominal)
	}
	typeText(t, w, "1")
	press(w, fyne.KeyEscape, fyne.KeyReturn)
	if c, _ := w.exam.s.Component("pot-1"); c.Pot.Measured.Value != 243 {
		t.Errorf("Escape leaves %v", c.Pot.Measured)
	}
	s.choose("cap-1")
	settle(w)
	s.detail.take.Tapped(nil)
	if c, _ := w.exam.s.Component("cap-1"); c.Capacitor.Nominal != 22 {
		t.Errorf("the code gives %v", c.Capacitor.Nominal)
	}
	if s.detail.offer.Visible() {
		t.Error("what was taken is still offered")
	}
	// A value that is none is refused in a sentence and changes nothing.
	typeText(t, w, "much")
	press(w, fyne.KeyReturn)
	if w.win.Canvas().Overlays().Top() == nil || !strings.Contains(lookAt(w).joined(), "is not a figure in nF") {
		t.Error("a value that is none is not refused")
	}
}

// TestElectronicsFollows changes the record from outside, as undo does: the
// screen shows it, and a change costs a few milliseconds.
func TestElectronicsFollows(t *testing.T) {
	w := bareWindow(t, large, false)
	fillElectronics(t, w)
	s := w.electronicsNow(t)
	s.choose("pot-2")
	settle(w)
	begin := time.Now()
	const times = 20
	for i := range times {
		if err := w.exam.s.SetComponent("pot-2", "Measured", func(c *record.Component) { c.Pot.Measured = &record.Quantity{Value: 240 + float64(i)} }); err != nil {
			t.Fatal(err)
		}
	}
	t.Logf("a change that is shown takes %v", time.Since(begin)/times)
	if got := s.rows[3].Line.Measured; got != "259 kΩ" {
		t.Errorf("the list shows %q", got)
	}
	if err := s.m.Remove(); err != nil {
		t.Fatal(err)
	}
	if s.m.Selected == "pot-2" || len(s.rows) != 10 {
		t.Errorf("%q, %d rows", s.m.Selected, len(s.rows))
	}
}

// TestElectronicsFrozen finds nothing that can be changed in an issued
// examination, on any page.
func TestElectronicsFrozen(t *testing.T) {
	w := bareWindow(t, small, false)
	fillElectronics(t, w)
	if w.electronicsNow(t).add.Disabled() {
		t.Fatal("a draft is frozen")
	}
	if err := w.exam.ex.SetIssued(record.Issued{Number: "CR-2026-0001", At: clock(), File: "reports/CR-2026-0001.pdf"}); err != nil {
		t.Fatal(err)
	}
	w.exam.s.Refresh()
	s := w.electronicsNow(t)
	for _, c := range w.exam.s.Scene().Record.Components {
		s.choose(c.ID)
		for _, ff := range s.detail.now.fields {
			if (ff.entry != nil && !ff.entry.Entry().Disabled()) || (ff.list != nil && !ff.list.Disabled()) {
				t.Errorf("%s: %s can be changed", c.ID, ff.f.Label)
			}
		}
	}
	for name, b := range map[string]*look.Button{"add": s.add, "usual": s.usual, "remove": s.remove, "take": s.detail.take, "ambient": s.detail.ambient} {
		if !b.Disabled() {
			t.Errorf("%s can be pressed", name)
		}
	}
	if !s.detail.photos.add.Disabled() || !s.pages[1].(*wiringPage).files.add.Disabled() {
		t.Error("files can be tied")
	}
	capture(t, w, "electronics-issued")
	stands(t, "issued", w, "312 kΩ")
}
