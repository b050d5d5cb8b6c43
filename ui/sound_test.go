//go:build ci

package ui

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"wornwood/annotate/pitch"
	"wornwood/annotate/pitch/pitchtest"
	"wornwood/capture/sound"
	"wornwood/ui/view"
)

// tapeOf writes a take of all six strings, open and at the twelfth fret, with
// hum; the stopped notes are sharp by so many cents, string 1 first.
func tapeOf(t *testing.T, sharp ...float64) string {
	t.Helper()
	tuning, err := pitch.ParseTuning("E4 B3 G3 D3 A2 E2")
	if err != nil {
		t.Fatal(err)
	}
	tape := pitchtest.New(22050, 1.5+1.3*12, 4)
	at := 1.2
	for i := len(sharp) - 1; i >= 0; i-- {
		for k, factor := range []float64{1, 2 * math.Exp2(sharp[i]/1200)} {
			_ = k
			tape.Pluck(pitchtest.Pluck{At: at, Seconds: 1.2, Hz: tuning[i].Hz(440.4) * factor, B: 4e-5, Peak: 0.25, First: 1, Decay: 0.9, Partials: 10})
			at += 1.3
		}
	}
	tape.Noise(1e-4)
	tape.Hum(50, 0.001, 0.0004, 0.0007, 0.0001, 0.0003)
	path := filepath.Join(t.TempDir(), "larkfoot take 1.wav")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(sound.WriteWAV(f, tape.Rate, tape.Samples), f.Close()); err != nil {
		t.Fatal(err)
	}
	return path
}

// soundNow shows the panel alone on the window's body.
func soundNow(w *Window) *soundPanel {
	w.ShowScreen(view.SetupScreen)
	p := newSoundPanel(w)
	w.frame.now = p
	w.frame.body.Objects = []fyne.CanvasObject{p.object()}
	w.frame.body.Refresh()
	w.frame.refresh()
	return p
}

// TestSoundPanelStands renders the panel before and after a recording was
// chosen, at both sizes, light and dark.
func TestSoundPanelStands(t *testing.T) {
	path := tapeOf(t, 4.1, -2, 0.3, 1, 6.2, 2)
	for _, v := range variants {
		t.Run(v.name, func(t *testing.T) {
			w := bareWindow(t, v.size, v.dark)
			p := soundNow(w)
			look := func(name string, want ...string) {
				t.Helper()
				checkPicture(t, name, capture(t, w, "sound-"+name+"-"+v.name), v.size, v.dark)
				s := lookAt(w)
				for _, f := range s.faults() {
					t.Errorf("%s: %s", name, f)
				}
				for _, x := range want {
					if !strings.Contains(s.joined(), x) {
						t.Errorf("%s does not say %q", name, x)
					}
				}
			}
			look("empty", "Record each string in turn", "E4", "Choose a recording…", "A4 = 440 Hz")
			p.hear(path)
			finish(t, w)
			p.m.Select(1)
			p.refresh()
			look("heard", "4.1 ± 0.1 cents sharp of the octave", "2.0 ± 0.1 cents flat of the octave", "12 notes", "dB below the note", "Note 2 of 12", "string 6, 12th fret", "before the first note")
		})
	}
}

// TestSoundPanelKeeps corrects a proposal, keeps intonation and hum, and takes
// both back.
func TestSoundPanelKeeps(t *testing.T) {
	w := bareWindow(t, large, false)
	p := soundNow(w)
	if p.m.CanKeep() || p.m.CanKeepHum() {
		t.Error("there is something to keep before anything was heard")
	}
	p.hear(tapeOf(t, 3, 3, 3, 3, 3, 3))
	finish(t, w)
	p.strip.TypedKey(&fyne.KeyEvent{Name: fyne.KeyRight})
	if p.m.Selected() != 0 {
		t.Fatalf("the right arrow selects note %d", p.m.Selected())
	}
	p.place.OnChanged("left out")
	if n := len(p.m.Heard().Intonations()); n != 5 {
		t.Errorf("with an open string left out %d strings can be kept", n)
	}
	p.place.OnChanged("string 6 open")
	p.keep.OnTapped()
	finish(t, w)
	rec := w.exam.s.Scene().Record
	if rec.Setup == nil || len(rec.Setup.Intonations) != 6 || len(rec.Attachments) != 1 || rec.Setup.Intonations[0].File != rec.Attachments[0].ID || !w.bench.HasAttachment(rec.Attachments[0].ID) {
		t.Fatalf("kept: %+v, %+v", rec.Setup, rec.Attachments)
	}
	if got := p.m.Kept(3); got != "3.0 sharp" {
		t.Errorf("string 3 is kept as %q", got)
	}
	before := len(rec.Readings)
	p.humKeep.OnTapped()
	finish(t, w)
	rec = w.exam.s.Scene().Record
	if len(rec.Readings) < before+3 || len(rec.Attachments) != 1 {
		t.Errorf("%d readings and %d attachments after keeping the hum, %d before", len(rec.Readings), len(rec.Attachments), before)
	}
	for _, want := range []string{"Set hum", "Set intonation of 6 strings"} {
		if name, err := w.exam.s.Undo(); err != nil || name != want {
			t.Errorf("undo took back %q, %v; want %q", name, err, want)
		}
	}
}
