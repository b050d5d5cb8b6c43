package cli

import (
	"context"
	"fmt"

	"wornwood/annotate"
	"wornwood/annotate/outline"
	"wornwood/annotate/pitch"
	"wornwood/capture/bench"
	"wornwood/capture/sound"
	"wornwood/ui/view"
)

var listenVerb = &verb{name: "listen", args: "[BENCH] FILE [--keep] [--record SECONDS] [--string N] [--tuning NOTES] [--exam ID]",
	short: "hear a recording: pitch of open and stopped strings in cents, and hum in dB below the note", run: runListen}

// listening is what the flags of listen ask for.
type listening struct {
	exam, tuning, class, silence, microphone string
	a4, seconds                              float64
	channel, str, fret, mains                int
	keep, attach, asJSON, list               bool
}

func (l *listening) flags(c *call) {
	fs := c.flags
	fs.StringVar(&l.exam, "exam", "", "`ID` of the examination; the only open one otherwise")
	fs.StringVar(&l.tuning, "tuning", "", "`notes` of the open strings from string 1 on: \"E4 B3 G3 D3 A2 E2\"")
	fs.StringVar(&l.class, "class", "", "`class` of the instrument, for its usual tuning, where no bench is named")
	fs.StringVar(&l.silence, "silence", "", "`file` recorded with the controls up and no note, to read the hum in")
	fs.StringVar(&l.microphone, "microphone", "", "`name` of the microphone to record from; the system's own otherwise")
	fs.Float64Var(&l.a4, "a4", 0, "pitch of A4 in `Hz`; 440 where nothing else is known")
	fs.Float64Var(&l.seconds, "record", 0, "record so many `seconds` into FILE, a new WAV file, first")
	fs.IntVar(&l.channel, "channel", 0, "`number` of the channel; the mean of all otherwise")
	fs.IntVar(&l.str, "string", 0, "`number` of the one string that was played, open and stopped in turn")
	fs.IntVar(&l.fret, "fret", 0, "`number` of the fret at which strings were stopped; the octave's otherwise")
	fs.IntVar(&l.mains, "mains", 0, "`Hz` of the mains, 50 or 60; the stronger otherwise")
	fs.BoolVar(&l.keep, "keep", false, "keep intonation and hum in the examination of BENCH")
	fs.BoolVar(&l.attach, "attach", true, "with --keep, keep the recording too; --attach=false leaves it out")
	fs.BoolVar(&l.list, "microphones", false, "list the microphones and stop")
	fs.BoolVar(&l.asJSON, "json", false, "print what was heard as JSON")
}

func runListen(ctx context.Context, c *call) error {
	l := &listening{}
	l.flags(c)
	if err := c.parse(0, 2); err != nil {
		return err
	}
	if l.list {
		return c.microphones()
	}
	switch {
	case len(c.args) == 0:
		return &usageError{"usage: wornwood listen " + c.verb.args}
	case l.keep && len(c.args) == 1:
		return &usageError{"--keep needs a bench: wornwood listen BENCH FILE --keep"}
	case !(l.a4 >= 0 && l.a4 <= 1000):
		return &usageError{"--a4 is a pitch in Hz, 440 for instance"}
	case l.mains != 0 && l.mains != 50 && l.mains != 60:
		return &usageError{"--mains is 50 or 60"}
	case l.str < 0 || l.fret < 0 || l.channel < 0:
		return &usageError{"--string, --fret and --channel count from 1"}
	}
	if len(c.args) == 2 {
		return c.withSession(c.args[0], l.exam, func(b *bench.Bench, _ *bench.Exam, s *annotate.Session) error {
			h, err := l.run(ctx, c, c.args[1], s.Scene().Instrument())
			if err != nil || !l.keep {
				return err
			}
			return l.keepHeard(ctx, c, h, b, s)
		})
	}
	if l.class == "" {
		l.class = outline.Classes()[0]
	}
	d, err := outline.New(outline.Params{Class: l.class})
	if err != nil {
		return err
	}
	_, err = l.run(ctx, c, c.args[0], pitch.InstrumentOf(nil, l.class, d.Strings))
	return err
}

// run records where it is asked to, hears the file and prints.
func (l *listening) run(ctx context.Context, c *call, file string, in pitch.Instrument) (*view.Hearing, error) {
	if l.tuning != "" {
		t, err := pitch.ParseTuning(l.tuning)
		if err != nil {
			return nil, &usageError{err.Error()}
		}
		in.Tuning, in.Strings = t, len(t)
	}
	if l.a4 > 0 {
		in.A4 = l.a4
	}
	if l.str > in.Strings {
		return nil, &usageError{fmt.Sprintf("there is no string %d; this instrument has %d", l.str, in.Strings)}
	}
	if l.seconds != 0 {
		if err := view.NewRecordJob(l.microphone, l.seconds, file).Run(ctx, nil); err != nil {
			return nil, err
		}
	}
	h := view.NewHearing(file, view.HearOptions{Instrument: in, Channel: l.channel, String: l.str, Fret: l.fret, Mains: l.mains, Silence: l.silence})
	if err := h.Run(ctx); err != nil {
		return nil, err
	}
	if l.asJSON {
		return h, c.printJSON(heardJSON(h))
	}
	printHeard(c, h)
	return h, nil
}

func (c *call) microphones() error {
	list, err := sound.Microphones()
	if err != nil {
		return err
	}
	for _, m := range list {
		mark := ""
		if m.Default {
			mark = "  (the system's own)"
		}
		c.print("%s%s\n", m.Name, mark)
	}
	if len(list) == 0 {
		c.print("no microphone was found\n")
	}
	return nil
}

func printHeard(c *call, h *view.Hearing) {
	c.print("%s\n", h.About())
	for i := range h.Notes {
		n := h.Note(i)
		c.print("%6.2f s  %-22s %s\n", h.Notes[i].Start, n.Place, n.Pitched)
		if n.Doubt != "" {
			c.print("          doubtful: %s\n", n.Doubt)
		}
	}
	for _, r := range h.Strings() {
		if r.Complete() {
			c.print("%s\n", r.Words())
		}
	}
	if h.Hum != nil {
		c.print("hum: %s\n", h.HumHead())
		for _, r := range h.HumRows() {
			c.print("hum %-8s %s\n", r.Line, r.Words)
		}
	}
	for _, w := range h.Warnings() {
		c.print("%s\n", w)
	}
}

// keepHeard stores the recording, every complete string and the hum that is
// heard.
func (l *listening) keepHeard(ctx context.Context, c *call, h *view.Hearing, b *bench.Bench, s *annotate.Session) error {
	job := view.NewKeepJob(h, b, true, true)
	if l.attach {
		if err := job.Run(ctx, nil); err != nil {
			return err
		}
	}
	if err := job.Enter(s); err != nil {
		return err
	}
	lines := 0
	if h.Hum != nil {
		lines = len(h.Hum.Heard())
	}
	c.say("kept: strings with their intonation %d, lines of hum %d", len(h.Intonations()), lines)
	return nil
}

// heardOut is what listen --json prints.
type heardOut struct {
	File     string      `json:"file"`
	Format   string      `json:"format"`
	Rate     int         `json:"rate"`
	Channels int         `json:"channels"`
	Seconds  float64     `json:"seconds"`
	Notes    []noteOut   `json:"notes"`
	Octaves  []octaveOut `json:"octaves"`
	Hum      *humOut     `json:"hum,omitempty"`
	Warnings []string    `json:"warnings,omitempty"`
}

type noteOut struct {
	Start       float64 `json:"start"`
	End         float64 `json:"end"`
	String      int     `json:"string"` // 0: left out
	Fret        int     `json:"fret"`
	Name        string  `json:"name"`
	Hz          float64 `json:"hz"`
	Uncertainty float64 `json:"uncertaintyHz"`
	Cents       float64 `json:"cents"`
	Doubt       string  `json:"doubt,omitempty"`
}

type octaveOut struct {
	String      int     `json:"string"`
	Fret        int     `json:"fret"`
	Cents       float64 `json:"cents"`
	Uncertainty float64 `json:"uncertainty"`
	Words       string  `json:"words"`
}

type humOut struct {
	Nominal int       `json:"nominalHz"`
	Mains   float64   `json:"mainsHz"`
	Where   string    `json:"where"`
	Lines   []lineOut `json:"lines"`
}

type lineOut struct {
	Hz    float64 `json:"hz"`
	Below float64 `json:"dBBelowNote"`
	Words string  `json:"words"`
}

func heardJSON(h *view.Hearing) heardOut {
	out := heardOut{File: h.Path, Format: h.Info.Format, Rate: h.Info.FileRate, Channels: h.Info.Channels, Seconds: h.Length,
		Notes: []noteOut{}, Octaves: []octaveOut{}, Warnings: h.Warnings()}
	for i, n := range h.Notes {
		w := h.Note(i)
		out.Notes = append(out.Notes, noteOut{n.Start, n.End, h.Places[i].String, h.Places[i].Fret, w.Name, n.Hz, n.Uncertainty, w.Cents, n.Doubt})
	}
	for _, r := range h.Strings() {
		if r.Complete() {
			o := h.Octave(r)
			out.Octaves = append(out.Octaves, octaveOut{r.String, r.Fret, o.Cents, o.Uncertainty, o.Words()})
		}
	}
	if h.Hum != nil {
		out.Hum = &humOut{Nominal: h.Hum.Nominal, Mains: h.Hum.Mains, Where: h.Hum.Where, Lines: []lineOut{}}
		for _, l := range h.Hum.Lines {
			if l.State != pitch.HumBuried {
				out.Hum.Lines = append(out.Hum.Lines, lineOut{l.Hz, l.Below, l.Words()})
			}
		}
	}
	return out
}
