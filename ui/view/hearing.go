package view

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"time"

	"wornwood/annotate/pitch"
	"wornwood/capture/record"
	"wornwood/capture/sound"
)

// HearOptions say what a recording is heard for.
type HearOptions struct {
	Instrument pitch.Instrument
	Channel    int    // 1 the first; sound.Mean for the mean of all
	String     int    // the only string that was played; 0 for all in order
	Fret       int    // where strings are stopped; 0 takes the octave's
	Mains      int    // 50 or 60; 0 takes the stronger
	Silence    string // path of a recording without a note, for the hum; "" looks in the recording
}

// Hearing is one recording as it was heard: its notes with the strings they are
// proposed to be, and its hum. Run fills it, beside the window.
type Hearing struct {
	Path   string
	Info   sound.Info
	Length float64 // seconds
	Notes  []pitch.Heard
	Places []pitch.Place // of each note; pitch.None for those left out
	Hum    *pitch.Hum    // nil where there is no note
	Levels []float64     // dB full scale, over equal stretches of the whole recording

	Overloaded bool // samples stand at full scale, one after another
	o          HearOptions

	size    int64 // of the file when it was heard
	changed time.Time
}

// NewHearing makes the job; nothing is read before Run.
func NewHearing(path string, o HearOptions) *Hearing { return &Hearing{Path: path, o: o} }

// stripColumns is how many levels are taken of a recording.
const stripColumns = 600

// Run reads and hears the recording.
func (h *Hearing) Run(ctx context.Context) error {
	st, err := os.Stat(h.Path)
	if err != nil {
		return fmt.Errorf("read recording: %w", err)
	}
	h.size, h.changed = st.Size(), st.ModTime()
	clip, err := sound.Load(ctx, h.Path, h.o.Channel)
	if err != nil {
		return err
	}
	h.Info, h.Length = clip.Info, clip.Seconds()
	h.Levels, h.Overloaded = levels(clip.Samples, stripColumns), overloaded(clip.Samples)
	if h.Notes, err = pitch.Listen(ctx, clip); err != nil {
		return err
	}
	h.Places = h.propose()
	o := pitch.HumOptions{Mains: h.o.Mains}
	if h.o.Silence != "" {
		if o.Silence, err = sound.Load(ctx, h.o.Silence, h.o.Channel); err != nil {
			return err
		}
	}
	h.Hum, err = pitch.HumOf(ctx, clip, h.Notes, o)
	return err
}

// propose says which string each note is. Where one string was named its notes
// are taken in turn, open first.
func (h *Hearing) propose() []pitch.Place {
	in := h.o.Instrument
	if h.o.String == 0 {
		out := pitch.Assign(h.Notes, in)
		for i := range out {
			if out[i].Fret > 0 && h.o.Fret > 0 {
				out[i].Fret = h.o.Fret
			}
		}
		return out
	}
	out := make([]pitch.Place, len(h.Notes))
	for i := range out {
		out[i] = pitch.Place{String: h.o.String}
		if i%2 == 1 {
			out[i].Fret = h.stop(h.o.String)
		}
	}
	return out
}

// stop is the fret at which a string is stopped.
func (h *Hearing) stop(str int) int {
	if h.o.Fret > 0 {
		return h.o.Fret
	}
	return pitch.OctaveFret(h.o.Instrument.Class, h.o.Instrument.Strings, str)
}

// levels are the RMS levels in dB of so many equal stretches.
func levels(x []float32, n int) []float64 {
	n = max(1, min(n, len(x)))
	out := make([]float64, n)
	for i := range out {
		part := x[i*len(x)/n : (i+1)*len(x)/n]
		sum := 0.0
		for _, v := range part {
			sum += float64(v) * float64(v)
		}
		out[i] = 10 * math.Log10(sum/float64(max(1, len(part)))+1e-12)
	}
	return out
}

// overloaded says whether a recording was cut off at full scale: three samples
// and more stand there one after another, which no sound below it does.
func overloaded(x []float32) bool {
	run := 0
	for _, v := range x {
		if v < 0.9999 && v > -0.9999 {
			run = 0
			continue
		}
		if run++; run >= 3 {
			return true
		}
	}
	return false
}

// HeardNote is a note in words.
type HeardNote struct {
	Place   string  // "string 3 open", "string 3, 12th fret", "left out"
	Name    string  // of the nearest note, "G3"
	Cents   float64 // against what is expected there, else the nearest note
	Pitched string  // "196.03 Hz, 0.3 cents sharp of G3"
	Doubt   string
}

// Note gives a note in words.
func (h *Hearing) Note(i int) HeardNote {
	n, p, in := &h.Notes[i], h.Places[i], h.o.Instrument
	a4 := in.A4
	if a4 <= 0 {
		a4 = pitch.A4
	}
	near, _ := pitch.Nearest(n.Hz, a4)
	out := HeardNote{Place: placeWords(p), Name: near.String(), Doubt: n.Doubt}
	of := near
	if want := in.Expected(p); want > 0 {
		of, _ = pitch.Nearest(want, a4)
	}
	out.Cents, _ = n.Cents(of.Hz(a4))
	out.Pitched = fmt.Sprintf("%s Hz, %s of %s", hertz(n.Hz), sided(out.Cents), of)
	if math.Abs(out.Cents) < 0.05 {
		out.Pitched = fmt.Sprintf("%s Hz, %s", hertz(n.Hz), of)
	}
	return out
}

// sided is a number of cents with its side: "3.2 cents sharp".
func sided(c float64) string {
	if c < 0 {
		return fmt.Sprintf("%.1f cents flat", -c)
	}
	return fmt.Sprintf("%.1f cents sharp", c)
}

func placeWords(p pitch.Place) string {
	switch {
	case p == pitch.None:
		return "left out"
	case p.Fret == 0:
		return fmt.Sprintf("string %d open", p.String)
	}
	return fmt.Sprintf("string %d, %s", p.String, pitch.Stopped(p.Fret))
}

// hertz writes a frequency to a hundredth below 1 kHz: a hundredth of 82 Hz is
// a fifth of a cent.
func hertz(hz float64) string { return fmt.Sprintf("%.2f", hz) }

// StringRow is a string of the instrument with what was heard of it.
type StringRow struct {
	String        int
	Fret          int    // where it is stopped
	Expected      string // note of the open string, "" for none
	Open, Stopped string // "196.03" Hz, "" for not heard
	OpenCents     string // "0.3 sharp"
	StoppedCents  string
	Octave        string // in words, "" while one of the two is missing
	Doubt         string
	open, stopped *pitch.Heard
}

// Complete says whether both notes of the string were heard.
func (r StringRow) Complete() bool { return r.open != nil && r.stopped != nil }

// Words is the row as a sentence: "string 3: 12th fret 4.1 ± 0.6 cents sharp of
// the octave".
func (r StringRow) Words() string {
	if !r.Complete() {
		return ""
	}
	return fmt.Sprintf("string %d: %s %s", r.String, pitch.Stopped(r.Fret), r.Octave)
}

// Strings lists every string with its notes. Of a note that was played again
// the later one counts, unless it is doubted.
func (h *Hearing) Strings() []StringRow {
	in := h.o.Instrument
	var out []StringRow
	for str := 1; str <= max(in.Strings, len(in.Tuning)); str++ {
		r := StringRow{String: str, Fret: h.stop(str)}
		if str <= len(in.Tuning) {
			r.Expected = in.Tuning[str-1].String()
		}
		var doubts []string
		for i := range h.Notes {
			if h.Places[i].String != str {
				continue
			}
			at := &r.open
			if h.Places[i].Fret > 0 {
				at = &r.stopped
				r.Fret = h.Places[i].Fret
			}
			if *at == nil || h.Notes[i].Doubt == "" || (*at).Doubt != "" {
				*at = &h.Notes[i]
			}
		}
		r.Open, r.OpenCents = h.cell(r.open, pitch.Place{String: str}, &doubts)
		r.Stopped, r.StoppedCents = h.cell(r.stopped, pitch.Place{String: str, Fret: r.Fret}, &doubts)
		r.Doubt = strings.Join(doubts, "; ")
		if r.Complete() {
			r.Octave = h.Octave(r).Words()
		}
		out = append(out, r)
	}
	return out
}

func (h *Hearing) cell(n *pitch.Heard, p pitch.Place, doubts *[]string) (hz, cents string) {
	if n == nil {
		return "", ""
	}
	if n.Doubt != "" {
		*doubts = append(*doubts, placeWords(p)+": "+n.Doubt)
	}
	if want := h.o.Instrument.Expected(p); want > 0 {
		c, _ := n.Cents(want)
		cents = pitch.Signed(c)
	}
	return hertz(n.Hz), cents
}

// Octave compares the two notes of a complete row.
func (h *Hearing) Octave(r StringRow) pitch.Octave {
	in := h.o.Instrument
	return pitch.OctaveOf(r.open.Hz, r.open.Uncertainty, r.stopped.Hz, r.stopped.Uncertainty, pitch.Semitones(in.Class, in.Strings, r.String, r.Fret))
}

// Intonations are the complete rows as the record keeps them.
func (h *Hearing) Intonations() []record.Intonation {
	how := "recording " + filepath.Base(h.Path)
	hz := func(n *pitch.Heard) *record.Quantity {
		return &record.Quantity{Value: toPlaces(n.Hz, 3), Uncertainty: toPlaces(n.Uncertainty, 4), How: how}
	}
	var out []record.Intonation
	for _, r := range h.Strings() {
		if r.Complete() {
			out = append(out, record.Intonation{String: r.String, Fret: r.Fret, Open: hz(r.open), Stopped: hz(r.stopped)})
		}
	}
	return out
}

// unchanged says whether the file is still the one that was heard.
func (h *Hearing) unchanged() error {
	st, err := os.Stat(h.Path)
	if err != nil {
		return fmt.Errorf("keep recording: %w", err)
	}
	if st.Size() != h.size || !st.ModTime().Equal(h.changed) {
		return fmt.Errorf("keep recording: %s has changed since it was heard; choose it again", filepath.Base(h.Path))
	}
	return nil
}

func toPlaces(v float64, places int) float64 {
	k := math.Pow(10, float64(places))
	return math.Round(v*k) / k
}

// About says what the recording is, in a line.
func (h *Hearing) About() string {
	ch := count(h.Info.Channels, "channel", "channels")
	return fmt.Sprintf("%s · %s · %s · %g kHz · %s · %s", filepath.Base(h.Path), seconds(h.Length), h.Info.Format, float64(h.Info.FileRate)/1000, ch, count(len(h.Notes), "note", "notes"))
}

func seconds(s float64) string {
	if s < 60 {
		return fmt.Sprintf("%.1f s", s)
	}
	return fmt.Sprintf("%d min %02d s", int(s)/60, int(s)%60)
}

// Warnings are what should be known before the readings are kept.
func (h *Hearing) Warnings() []string {
	var out []string
	for _, n := range h.Info.Notes {
		out = append(out, Capital(n)+".")
	}
	top := math.Inf(-1)
	for _, l := range h.Levels {
		top = max(top, l)
	}
	switch {
	case len(h.Notes) == 0 && top < -70:
		out = append(out, "Nothing is heard in this recording: it is silent, or far too soft.")
	case len(h.Notes) == 0:
		out = append(out, "No note of a string was found. Pluck one string at a time, let it ring for a second or two, and damp it before the next.")
	case h.Overloaded:
		out = append(out, "The recording is overloaded; take it again, softer.")
	}
	for i, n := range h.Notes {
		if n.Doubt != "" && h.Places[i] != pitch.None {
			out = append(out, fmt.Sprintf("%s is doubtful: %s.", Capital(placeWords(h.Places[i])), n.Doubt))
		}
	}
	return out
}
