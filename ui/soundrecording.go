package ui

import (
	"context"
	"errors"
	"os"
	"path/filepath"

	"wornwood/capture/sound"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// systemMicrophone is the choice of no particular microphone.
const systemMicrophone = "the system's own"

// askRecording asks how long to record, from what and into which file.
func (p *soundPanel) askRecording() {
	list, err := sound.Microphones()
	if err != nil {
		p.w.Fail(err)
		return
	}
	names := []string{systemMicrophone}
	for _, m := range list {
		names = append(names, m.Name)
	}
	microphone := look.NewSelect(names, "", func(string) {})
	microphone.Set(systemMicrophone)
	length := look.NewField("Length", "s", nil)
	length.Set("60")
	file := look.NewField("Kept as, a new WAV file", "", nil)
	home, err := os.UserHomeDir()
	if err == nil {
		file.Set(filepath.Join(home, view.RecordingName(p.w.exam.s.Scene().Record, p.w.now())))
	}
	var s *sheet
	begin := look.NewButton("Record", "", look.Main, func() {
		seconds, err := view.Number(length.Text())
		if err == nil && (seconds < 1 || seconds > sound.MaxSeconds) {
			err = errors.New("record: give 1 to 600 seconds")
		}
		if err != nil {
			p.w.Fail(err)
			return
		}
		name := microphone.Chosen()
		if name == systemMicrophone {
			name = ""
		}
		s.hide()
		p.record(name, seconds, expand(file.Text()))
	})
	s = p.w.showSheet("Record", 520, look.Spaced(10, look.Captioned("Microphone", microphone), look.Fixed(120, 0, length), file), "Cancel", begin)
}

// record records into a new file, and hears it. What is cancelled leaves no
// file.
func (p *soundPanel) record(microphone string, seconds float64, path string) {
	job := view.NewRecordJob(microphone, seconds, path)
	p.w.work("Recording", func(ctx context.Context, report func(int, int, string)) error { return job.Run(ctx, report) }, func() { p.hear(path) })
}
