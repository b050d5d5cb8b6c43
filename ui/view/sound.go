package view

import (
	"context"
	"fmt"

	"wornwood/annotate"
	"wornwood/annotate/pitch"
	"wornwood/capture/bench"
)

// Sound is the panel that hears a recording of the instrument: the intonation
// of its strings and the hum of its electronics. A recording is a proposal until
// it is kept.
type Sound struct {
	s        *annotate.Session
	heard    *Hearing // nil before a recording was chosen
	selected int      // note, -1 for none
	Silence  string   // path of a recording without a note, "" for none
}

// NewSound makes the model on a session.
func NewSound(s *annotate.Session) *Sound { return &Sound{s: s, selected: -1} }

// Job makes the work of hearing a recording.
func (v *Sound) Job(path string) *Hearing {
	return NewHearing(path, HearOptions{Instrument: v.s.Scene().Instrument(), Silence: v.Silence})
}

// Show takes a recording that was heard.
func (v *Sound) Show(h *Hearing) { v.heard, v.selected = h, -1 }

// Heard is the recording that is shown, nil for none.
func (v *Sound) Heard() *Hearing { return v.heard }

// Tuning is what is expected of the open strings, in a line.
func (v *Sound) Tuning() string {
	in := v.s.Scene().Instrument()
	a4 := in.A4
	if a4 <= 0 {
		a4 = pitch.A4
	}
	if in.Tuning == nil {
		return fmt.Sprintf("No tuning is usual for %d strings of this class: write it in the setup · A4 = %g Hz", in.Strings, a4)
	}
	return fmt.Sprintf("Strings from 1 on: %s · A4 = %g Hz", in.Tuning, a4)
}

// Selected is the note that is selected, -1 for none.
func (v *Sound) Selected() int { return v.selected }

// Select selects a note; -1 none.
func (v *Sound) Select(i int) {
	if v.heard == nil || i < -1 || i >= len(v.heard.Notes) {
		i = -1
	}
	v.selected = i
}

// NoteAt is the note that sounds at a time of the recording, -1 for none.
func (v *Sound) NoteAt(seconds float64) int {
	if v.heard == nil {
		return -1
	}
	for i, n := range v.heard.Notes {
		if seconds >= n.Start && seconds <= n.End {
			return i
		}
	}
	return -1
}

// PlaceChoices are what a note can be: left out, or a string open or stopped.
func (v *Sound) PlaceChoices() []string {
	out := []string{placeWords(pitch.None)}
	for _, p := range v.places() {
		out = append(out, placeWords(p))
	}
	return out
}

func (v *Sound) places() []pitch.Place {
	in := v.s.Scene().Instrument()
	var out []pitch.Place
	for str := 1; str <= in.Strings; str++ {
		out = append(out, pitch.Place{String: str}, pitch.Place{String: str, Fret: pitch.OctaveFret(in.Class, in.Strings, str)})
	}
	return out
}

// SetPlace corrects which string the selected note is, by one of PlaceChoices.
func (v *Sound) SetPlace(words string) {
	if v.heard == nil || v.selected < 0 {
		return
	}
	v.heard.Places[v.selected] = pitch.None
	for _, p := range v.places() {
		if placeWords(p) == words {
			v.heard.Places[v.selected] = p
		}
	}
}

// Label is what stands at a note in the strip: "3" for string 3 open, "3·12".
func (h *Hearing) Label(i int) string {
	switch p := h.Places[i]; {
	case p == pitch.None:
		return "–"
	case p.Fret == 0:
		return fmt.Sprint(p.String)
	default:
		return fmt.Sprintf("%d·%d", p.String, p.Fret)
	}
}

// Kept says in words what the record holds of a string, "" for nothing.
func (v *Sound) Kept(str int) string {
	for _, in := range v.s.Setup().Intonations {
		if in.String == str {
			if o, ok := pitch.IntonationOf(v.s.Scene().Instrument(), in); ok {
				return pitch.Signed(o.Cents)
			}
		}
	}
	return ""
}

// CanKeep says whether there is an intonation to keep.
func (v *Sound) CanKeep() bool {
	return v.heard != nil && len(v.heard.Intonations()) > 0 && v.s.Scene().Issued == nil
}

// CanKeepHum says whether there is hum to keep.
func (v *Sound) CanKeepHum() bool {
	return v.heard != nil && v.heard.Hum != nil && len(v.heard.Hum.Heard()) > 0 && v.s.Scene().Issued == nil
}

// RecordingStore keeps recordings; capture/bench's Bench is one.
type RecordingStore interface {
	StoreAttachment(ctx context.Context, path, kind string, progress func(done, total int64)) (*bench.Attached, error)
}

// KeepJob keeps what was heard together with its recording. Run stores the
// recording beside the window; Enter enters it afterwards.
type KeepJob struct {
	heard  *Hearing
	store  RecordingStore
	what   annotate.Heard
	stored *bench.Attached
}

// NewKeepJob makes the job for the intonation, the hum, or both.
func NewKeepJob(h *Hearing, store RecordingStore, intonation, hum bool) *KeepJob {
	j := &KeepJob{heard: h, store: store}
	if intonation {
		j.what.Intonations = h.Intonations()
	}
	if hum {
		j.what.Hum = h.Hum
	}
	return j
}

// Run stores the recording.
func (j *KeepJob) Run(ctx context.Context, report func(done, total int, what string)) error {
	if err := j.heard.unchanged(); err != nil {
		return err
	}
	a, err := j.store.StoreAttachment(ctx, j.heard.Path, "sound", func(done, total int64) {
		if report != nil {
			report(int(done>>10), int(total>>10), "Keeping the recording, KiB")
		}
	})
	if err != nil {
		return err
	}
	j.stored = a
	a.About = "heard for the " + j.about()
	return nil
}

func (j *KeepJob) about() string {
	switch {
	case j.what.Hum == nil:
		return "intonation"
	case len(j.what.Intonations) == 0:
		return "hum"
	}
	return "intonation and the hum"
}

// Enter enters what was heard into the record.
func (j *KeepJob) Enter(s *annotate.Session) error {
	if j.stored != nil {
		j.what.Recording = &j.stored.Attachment
	}
	return s.KeepHeard(j.what)
}

// HumRow is a line of the hum in words.
type HumRow struct{ Line, Words string }

// HumHead says where the hum was read, or why it was not.
func (h *Hearing) HumHead() string {
	if h.Hum == nil {
		return "The hum is read beside a note; this recording has none."
	}
	s := fmt.Sprintf("%d Hz mains (%.2f Hz as heard), read %s", h.Hum.Nominal, h.Hum.Mains, h.Hum.Where)
	if len(h.Hum.Heard()) == 0 {
		return fmt.Sprintf("No hum of %d Hz is heard above the noise; read %s.", h.Hum.Nominal, h.Hum.Where)
	}
	return s + fmt.Sprintf(", all lines together %.1f dB below the note", h.Hum.All)
}

// HumRows lists the lines that are heard or cannot be told apart.
func (h *Hearing) HumRows() []HumRow {
	if h.Hum == nil {
		return nil
	}
	var out []HumRow
	for _, l := range h.Hum.Lines {
		if l.State != pitch.HumBuried {
			out = append(out, HumRow{fmt.Sprintf("%.0f Hz", l.Hz), l.Words()})
		}
	}
	return out
}

// Strings lists every string, with what was heard of it once a recording was.
func (v *Sound) Strings() []StringRow {
	if v.heard != nil {
		return v.heard.Strings()
	}
	return NewHearing("", HearOptions{Instrument: v.s.Scene().Instrument()}).Strings()
}
