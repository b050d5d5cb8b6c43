package ui

import (
	"context"
	"fmt"

	"fyne.io/fyne/v2"

	"wornwood/capture/sound"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// soundPanel hears a recording: the intonation of the strings and the hum. It
// is a tab of the Setup screen.
type soundPanel struct {
	w     *Window
	m     *view.Sound
	root  fyne.CanvasObject
	fit   arranged
	about *look.Text
	tune  *look.Text
	strip *soundStrip

	line     *look.Text   // the selected note
	place    *look.Select // which string it is
	placeBox fyne.CanvasObject
	warn     *sentences

	rows    []view.StringRow
	table   *look.Table
	keep    *look.Button
	hums    []view.HumRow
	humTab  *look.Table
	humHead *sentences
	humKeep *look.Button
	silence *look.Button
}

func newSoundPanel(w *Window) *soundPanel {
	if w.exam.sound == nil { // what was heard stays while other screens are looked at
		w.exam.sound = view.NewSound(w.exam.s)
	}
	p := &soundPanel{w: w, m: w.exam.sound, about: look.NewText("", look.Small, look.Ink), tune: look.NewText("", look.Caption, look.Dim),
		line: look.NewText("", look.Body, look.Ink), warn: newSentences(false), humHead: newSentences(true)}
	p.strip = newSoundStrip(p.m, p.refresh)
	p.place = look.NewSelect(p.m.PlaceChoices(), "", func(t string) { p.m.SetPlace(t); p.refresh() })
	p.placeBox = look.Fixed(190, 0, p.place)
	p.makeTables()
	p.keep = look.NewButton("Keep the intonation", "check", look.Plain, func() { p.keepHeard(true, false) })
	p.humKeep = look.NewButton("Keep the hum", "check", look.Plain, func() { p.keepHeard(false, true) })
	p.silence = look.NewButton("Recording without a note…", "", look.Quiet, p.askSilence)
	choose := look.NewButton("Choose a recording…", "folder", look.Plain, p.ask)
	head := []fyne.CanvasObject{look.Flex(1, look.Rows(look.Space(), p.about, p.tune, look.Space())), look.Centred(choose)}
	if sound.CanRecord {
		head = append(head, look.Centred(look.NewButton("Record…", "", look.Plain, p.askRecording)))
	}
	left := look.Spaced(8, look.Columns(look.Centred(heading("Intonation").Whole()), look.Space(), p.keep), look.Flex(1, p.table.Object))
	right := look.Spaced(8, look.SpacedColumns(4, look.Centred(heading("Hum").Whole()), look.Space(), p.silence, p.humKeep), p.humHead.box, look.Flex(1, p.humTab.Object))
	top := look.Spaced(8, look.Fixed(0, 40, look.SpacedColumns(8, head...)), p.strip,
		look.Fixed(0, 30, look.SpacedColumns(12, look.Flex(1, p.line), p.placeBox)), p.warn.box)
	body := look.Rows(look.Inset(28, 8, 28, 8, top), look.NewRule(),
		look.Flex(1, look.Columns(look.Flex(1, look.Inset(28, 10, 20, 14, left)), look.NewRule(), look.Fixed(430, 0, look.Inset(20, 10, 28, 14, right)))))
	p.root, p.fit.root = body, body
	return p
}

// makeTables makes the tables of strings and of hum.
func (p *soundPanel) makeTables() {
	p.table = look.NewTable([]look.Column{{Title: "String", Width: 52}, {Title: "Note", Width: 48, Dim: true}, {Title: "Open, Hz", Width: 74, Right: true}, {Title: "cents", Width: 82, Right: true},
		{Title: "Octave, Hz", Width: 84, Right: true}, {Title: "cents", Width: 82, Right: true}, {Title: "Stopped at its octave"}, {Title: "Kept, cents", Width: 86, Dim: true, Right: true}},
		func() int { return len(p.rows) }, func(row, col int) string {
			r := p.rows[row]
			return [...]string{fmt.Sprint(r.String), r.Expected, r.Open, r.OpenCents, r.Stopped, r.StoppedCents, r.Octave, p.m.Kept(r.String)}[col]
		})
	p.humTab = look.NewTable([]look.Column{{Title: "Line", Width: 64}, {Title: "Level"}}, func() int { return len(p.hums) }, func(row, col int) string {
		return [...]string{p.hums[row].Line, p.hums[row].Words}[col]
	})
}

func (p *soundPanel) object() fyne.CanvasObject { return p.root }

// nothingHeard is what the panel says before a recording is chosen.
const nothingHeard = "Record each string in turn, open and then at its octave, in one take: pluck, let it ring two seconds, damp it. Leave a second of silence at the start for the hum."

// noRecording is what stands in place of a recording's name.
func noRecording() string {
	if !sound.CanRecord {
		return "No recording chosen yet; this build records nothing itself"
	}
	return "No recording chosen yet"
}

func (p *soundPanel) refresh() {
	h := p.m.Heard()
	p.tune.SetText(p.m.Tuning())
	p.about.SetText(noRecording())
	p.line.SetText(nothingHeard)
	warn, head := []string(nil), []string{"The hum of the mains, 50 or 60 Hz, is read beside a note of the recording."}
	p.rows, p.hums = p.m.Strings(), nil
	if h != nil {
		p.about.SetText(h.About())
		warn, head, p.hums = h.Warnings(), []string{h.HumHead()}, h.HumRows()
		p.line.SetText("Click a note, or go through them with the arrow keys, to see it and to say which string it is.")
		if len(h.Notes) == 0 {
			p.line.SetText("")
		}
	}
	p.warn.set(warn)
	p.humHead.set(head)
	p.showNote(h)
	p.table.Refresh()
	p.humTab.Refresh()
	enable(p.keep, p.m.CanKeep())
	enable(p.humKeep, p.m.CanKeepHum())
	p.strip.Refresh()
	p.fit.follow(warn, head, p.placeBox.Visible())
}

// showNote says what the selected note is.
func (p *soundPanel) showNote(h *view.Hearing) {
	i := p.m.Selected()
	show(p.placeBox, i >= 0)
	if i < 0 {
		return
	}
	n := h.Note(i)
	text := fmt.Sprintf("Note %d of %d: %s", i+1, len(h.Notes), n.Pitched)
	if n.Doubt != "" {
		text += " · doubtful: " + n.Doubt
	}
	p.line.SetText(text)
	p.place.SetOptions(p.m.PlaceChoices())
	p.place.Set(n.Place)
}

func enable(b *look.Button, yes bool) {
	if yes {
		b.Enable()
	} else {
		b.Disable()
	}
}

// ask asks for a recording.
func (p *soundPanel) ask() {
	p.w.askPath("Choose a recording", "A WAV or FLAC file of one string at a time", "Listen", false, p.hear)
}

// askSilence asks for the recording that the hum is read in, and hears anew.
func (p *soundPanel) askSilence() {
	p.w.askPath("Choose a recording without a note", "The instrument plugged in, controls up, strings damped, with the same gain", "Listen", false, func(path string) {
		p.m.Silence = path
		if h := p.m.Heard(); h != nil {
			p.hear(h.Path)
		}
	})
}

// hear hears a recording beside the window.
func (p *soundPanel) hear(path string) {
	job := p.m.Job(path)
	p.w.work("Listening", func(ctx context.Context, _ func(int, int, string)) error { return job.Run(ctx) }, func() {
		p.m.Show(job)
		p.refresh()
	})
}

// keepHeard keeps intonation or hum together with the recording.
func (p *soundPanel) keepHeard(intonation, hum bool) {
	job := view.NewKeepJob(p.m.Heard(), p.w.bench, intonation, hum)
	p.w.work("Keeping the recording", job.Run, func() {
		p.w.try(func() error { return job.Enter(p.w.exam.s) })
		p.refresh()
	})
}
