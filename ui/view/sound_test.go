package view

import (
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"wornwood/annotate/pitch"
	"wornwood/annotate/pitch/pitchtest"
	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/capture/sound"
)

// twoStrings writes a take of strings 3 and 2, open and stopped, string 3 sharp
// of the octave by 4 cents, with hum of 60 Hz.
func twoStrings(t *testing.T) string {
	t.Helper()
	tape := pitchtest.New(22050, 6.2, 2)
	for i, hz := range []float64{196, 392 * math.Exp2(4.0/1200), 246.94, 493.88} {
		tape.Pluck(pitchtest.Pluck{At: 0.9 + 1.3*float64(i), Seconds: 1.2, Hz: hz, B: 4e-5, Peak: 0.3, First: 1, Decay: 1, Partials: 10})
	}
	tape.Noise(1e-4)
	tape.Hum(60, 0.001, 0.0005)
	return written(t, "take.wav", tape)
}

func written(t *testing.T, name string, tape *pitchtest.Tape) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(sound.WriteWAV(f, tape.Rate, tape.Samples), f.Close()); err != nil {
		t.Fatal(err)
	}
	return path
}

func heard(t *testing.T, path string, o HearOptions) *Hearing {
	t.Helper()
	h := NewHearing(path, o)
	if err := h.Run(context.Background()); err != nil {
		t.Fatal(err)
	}
	return h
}

var sixStrings = pitch.Instrument{Class: "solid-body double-cutaway", Strings: 6, Tuning: pitch.Usual("solid-body double-cutaway", 6)}

func TestHearing(t *testing.T) {
	h := heard(t, twoStrings(t), HearOptions{Instrument: sixStrings})
	rows := h.Strings()
	if len(rows) != 6 || !rows[2].Complete() || !rows[1].Complete() || rows[0].Complete() {
		t.Fatalf("rows %+v", rows)
	}
	if got := rows[2].Words(); got != "string 3: 12th fret 4.0 ± 0.1 cents sharp of the octave" {
		t.Errorf("string 3 says %q", got)
	}
	if rows[2].Expected != "G3" || rows[2].Open != "196.00" || rows[2].OpenCents != "0.0" || rows[2].StoppedCents != "4.0 sharp" || rows[0].Words() != "" {
		t.Errorf("string 3 is %+v", rows[2])
	}
	if n := h.Note(1); n.Place != "string 3, 12th fret" || n.Name != "G4" || n.Pitched != "392.91 Hz, 4.0 cents sharp of G4" {
		t.Errorf("note 2 is %+v", n)
	}
	if h.Label(0) != "3" || h.Label(1) != "3·12" {
		t.Errorf("labels %q, %q", h.Label(0), h.Label(1))
	}
	if s := h.About(); s != "take.wav · 6.2 s · WAV, 24 bit · 22.05 kHz · 1 channel · 4 notes" {
		t.Errorf("about: %q", s)
	}
	if s := h.HumHead(); !strings.HasPrefix(s, "60 Hz mains (60.00 Hz as heard), read before the first note, all lines together") {
		t.Errorf("hum: %q", s)
	}
	if rows := h.HumRows(); len(rows) != 2 || rows[0].Line != "60 Hz" || !strings.HasSuffix(rows[0].Words, "dB below the note") {
		t.Errorf("hum rows %+v", rows)
	}
	if w := h.Warnings(); len(w) != 0 {
		t.Errorf("warnings %q", w)
	}
	list := h.Intonations()
	if len(list) != 2 || list[1].String != 3 || list[1].Fret != 12 || math.Abs(list[1].Open.Value-196) > 0.01 || list[1].Open.How != "recording take.wav" {
		t.Errorf("intonations %+v", list)
	}
}

// TestHearingOneString: a named string takes the notes in turn, whatever their
// pitch; a fret of one's own is kept.
func TestHearingOneString(t *testing.T) {
	h := heard(t, twoStrings(t), HearOptions{Instrument: sixStrings, String: 5, Fret: 12})
	want := []pitch.Place{{String: 5}, {String: 5, Fret: 12}, {String: 5}, {String: 5, Fret: 12}}
	if !slices.Equal(h.Places, want) {
		t.Errorf("places %v", h.Places)
	}
}

func TestHearingWarns(t *testing.T) {
	silent := pitchtest.New(22050, 1, 1)
	loud := pitchtest.New(22050, 1.5, 1)
	loud.Pluck(pitchtest.Pluck{At: 0.2, Seconds: 1.2, Hz: 196, Peak: 3, First: 1})
	hiss := pitchtest.New(22050, 0.2, 1)
	hiss.Noise(0.1)
	for name, x := range map[string]struct {
		tape *pitchtest.Tape
		want string
	}{
		"silent": {silent, "Nothing is heard in this recording"}, "loud": {loud, "The recording is overloaded"}, "short": {hiss, "No note of a string was found"},
	} {
		h := heard(t, written(t, "x.wav", x.tape), HearOptions{Instrument: sixStrings})
		if !strings.Contains(strings.Join(h.Warnings(), " "), x.want) {
			t.Errorf("%s: %q", name, h.Warnings())
		}
		if name == "silent" && (h.HumHead() != "The hum is read beside a note; this recording has none." || h.HumRows() != nil) {
			t.Errorf("hum of silence: %q", h.HumHead())
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if err := NewHearing(twoStrings(t), HearOptions{}).Run(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}

// soundShelf is a store of recordings that keeps nothing.
type soundShelf struct{ stored []string }

func (s *soundShelf) StoreAttachment(_ context.Context, path, kind string, progress func(done, total int64)) (*bench.Attached, error) {
	s.stored = append(s.stored, path)
	progress(1024, 2048)
	return &bench.Attached{Attachment: record.Attachment{ID: strings.Repeat("0f", 32), Name: filepath.Base(path), Kind: kind}}, nil
}

// TestKeepJob: a recording that changed after it was heard is not kept.
func TestKeepJob(t *testing.T) {
	path := twoStrings(t)
	h := heard(t, path, HearOptions{Instrument: sixStrings})
	sh := &soundShelf{}
	job := NewKeepJob(h, sh, true, true)
	told := ""
	if err := job.Run(context.Background(), func(done, total int, what string) { told = what }); err != nil || told == "" {
		t.Fatalf("keep: %v, told %q", err, told)
	}
	if job.stored.About != "heard for the intonation and the hum" {
		t.Errorf("about %q", job.stored.About)
	}
	later := time.Now().Add(time.Hour)
	if err := os.Chtimes(path, later, later); err != nil {
		t.Fatal(err)
	}
	if err := NewKeepJob(h, sh, true, false).Run(context.Background(), nil); err == nil || !strings.Contains(err.Error(), "has changed since it was heard") || len(sh.stored) != 1 {
		t.Errorf("a changed recording: %v, stored %v", err, sh.stored)
	}
}

// TestRecordJob: without a sound library nothing is left behind, and a file that
// is there is not touched.
func TestRecordJob(t *testing.T) {
	path := filepath.Join(t.TempDir(), "new.wav")
	err := NewRecordJob("", 1, path).Run(context.Background(), func(int, int, string) {})
	if !sound.CanRecord && !errors.Is(err, sound.ErrNoRecording) {
		t.Errorf("recorded without a library: %v", err)
	}
	if _, e := os.Stat(path); err != nil && !os.IsNotExist(e) {
		t.Errorf("what was not recorded left a file: %v", e)
	}
	old := filepath.Join(t.TempDir(), "old.wav")
	if err := os.WriteFile(old, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := NewRecordJob("", 1, old).Run(context.Background(), nil); !errors.Is(err, os.ErrExist) {
		t.Errorf("over a file: %v", err)
	}
	if b, err := os.ReadFile(old); err != nil || string(b) != "mine" {
		t.Errorf("the file holds %q, %v", b, err)
	}
	name := RecordingName(&record.Record{Instrument: record.Instrument{Maker: "Halden & Rowe", Model: "Larkfoot / Standard"}}, time.Date(2026, 11, 14, 16, 5, 9, 0, time.UTC))
	if name != "Halden Rowe Larkfoot Standard 2026-11-14 16-05-09.wav" {
		t.Errorf("the proposed name is %q", name)
	}
}
