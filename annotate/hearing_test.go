package annotate

import (
	"math"
	"strings"
	"testing"

	"wornwood/annotate/pitch"
	"wornwood/capture/record"
)

func hz(v float64) *record.Quantity { return &record.Quantity{Value: v, Uncertainty: 0.01} }

// TestKeepHeard keeps intonation, hum and recording in one step; a later reading
// of a string replaces the earlier one, and undo takes the step back whole.
func TestKeepHeard(t *testing.T) {
	s, _ := open(t)
	rec := record.Attachment{ID: strings.Repeat("0a", 32), Name: "take.wav", Kind: "sound"}
	hum := &pitch.Hum{Nominal: 50, Where: "before the first note", Lines: []pitch.HumLine{{Harmonic: 1, Hz: 50, Below: 46.24}, {Harmonic: 2, Hz: 100, Below: 90, State: pitch.HumBuried}, {Harmonic: 3, Hz: 150, Below: 60, State: pitch.HumMixed, Why: "x"}}}
	err := s.KeepHeard(Heard{Intonations: []record.Intonation{{String: 3, Open: hz(196), Stopped: hz(393)}, {String: 1, Fret: 12, Open: hz(330), Stopped: hz(661)}}, Hum: hum, Recording: &rec})
	if err != nil {
		t.Fatal(err)
	}
	r := s.Scene().Record
	got := r.Setup.Intonations
	if len(got) != 2 || got[0].String != 1 || got[1].String != 3 || got[1].Fret != 12 || got[1].File != rec.ID || len(r.Attachments) != 1 {
		t.Fatalf("kept %+v with %+v", got, r.Attachments)
	}
	if q := reading(r, "hum 50 Hz"); q == nil || q.Value.Value != 46.2 || q.Unit != HumUnit || reading(r, "hum 100 Hz") != nil || reading(r, "hum 150 Hz") != nil {
		t.Errorf("readings %+v", r.Readings)
	}
	if err := s.KeepHeard(Heard{Intonations: []record.Intonation{{String: 3, Fret: 12, Open: hz(196), Stopped: hz(392)}}}); err != nil {
		t.Fatal(err)
	}
	if got := s.Scene().Record.Setup.Intonations; len(got) != 2 || got[1].Stopped.Value != 392 {
		t.Errorf("the later reading does not replace the earlier: %+v", got)
	}
	hum.Lines = []pitch.HumLine{{Harmonic: 2, Hz: 120, Below: 50}}
	if err := s.KeepHeard(Heard{Hum: hum}); err != nil {
		t.Fatal(err)
	}
	if r := s.Scene().Record; reading(r, "hum 50 Hz") != nil || reading(r, "hum 120 Hz") == nil {
		t.Errorf("an earlier hum stays beside the later: %+v", r.Readings)
	}
	for _, want := range []string{"Set hum", "Set intonation of string 3", "Set intonation of 2 strings"} {
		if name, err := s.Undo(); err != nil || name != want {
			t.Errorf("undo took back %q, %v; want %q", name, err, want)
		}
	}
	if r := s.Scene().Record; r.Setup != nil || len(r.Attachments) != 0 || reading(r, "hum 50 Hz") != nil {
		t.Errorf("after undo there are still %+v, %+v", r.Setup, r.Attachments)
	}
}

func reading(r *record.Record, id string) *record.Reading {
	for i := range r.Readings {
		if r.Readings[i].ID == id {
			return &r.Readings[i]
		}
	}
	return nil
}

// TestKeepHeardRefuses: what no examination can hold is refused and changes
// nothing.
func TestKeepHeardRefuses(t *testing.T) {
	s, _ := open(t)
	for name, h := range map[string]Heard{
		"nothing":           {},
		"no string 9":       {Intonations: []record.Intonation{{String: 9, Open: hz(1), Stopped: hz(2)}}},
		"one note":          {Intonations: []record.Intonation{{String: 2, Open: hz(247)}}},
		"hum not heard":     {Hum: &pitch.Hum{Lines: []pitch.HumLine{{Hz: 50, State: pitch.HumBuried}}}},
		"no number of hum":  {Hum: &pitch.Hum{Lines: []pitch.HumLine{{Hz: 50, Below: math.NaN()}}}},
		"pitch of infinity": {Intonations: []record.Intonation{{String: 2, Open: hz(math.Inf(1)), Stopped: hz(2)}}},
	} {
		if err := s.KeepHeard(h); err == nil {
			t.Errorf("%s was kept", name)
		}
	}
	if r := s.Scene().Record; r.Setup != nil {
		t.Errorf("something was kept: %+v", r.Setup)
	}
	if err := s.RemoveIntonation(1, 12); err == nil {
		t.Error("an intonation that is not there was removed")
	}
	if err := s.KeepHeard(Heard{Intonations: []record.Intonation{{String: 2, Open: hz(247), Stopped: hz(494)}}}); err != nil {
		t.Fatal(err)
	}
	if err := s.RemoveIntonation(2, 12); err != nil || s.Scene().Record.Setup != nil {
		t.Errorf("removed: %v, %+v", err, s.Scene().Record.Setup)
	}
}
