//go:build ci

package ui

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"wornwood/annotate/electronics"
	"wornwood/capture/record"
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
			w := demoWindow(t, v.size, v.dark)
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

var _ = fyne.KeyReturn
