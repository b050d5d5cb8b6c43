package view

import (
	"context"
	"fmt"
	"os"
	"regexp"
	"strings"
	"time"

	"wornwood/capture/record"
	"wornwood/capture/sound"
)

// RecordJob records from a microphone into a new file.
type RecordJob struct {
	microphone string // "" for the system's own
	seconds    float64
	path       string
}

// NewRecordJob makes the job; nothing is recorded before Run.
func NewRecordJob(microphone string, seconds float64, path string) *RecordJob {
	return &RecordJob{microphone, seconds, path}
}

// Run records. A file that is there already is never written over; what was not
// recorded to its end leaves none. report may be nil.
func (j *RecordJob) Run(ctx context.Context, report func(done, total int, what string)) error {
	f, err := os.OpenFile(j.path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
	if err != nil {
		return fmt.Errorf("record: %w; name a new file", err)
	}
	stop := j.count(report)
	err = sound.Record(ctx, j.microphone, j.seconds, f)
	stop()
	if e := f.Close(); err == nil {
		err = e
	}
	if err != nil {
		os.Remove(j.path)
	}
	return err
}

// count reports the seconds as they go by until it is stopped.
func (j *RecordJob) count(report func(done, total int, what string)) (stop func()) {
	if report == nil {
		return func() {}
	}
	total := int(j.seconds + 0.5)
	what := "Recording, seconds"
	report(0, total, what)
	tick, ended := time.NewTicker(time.Second), make(chan struct{})
	go func() {
		for n := 1; ; n++ {
			select {
			case <-tick.C:
				report(min(n, total), total, what)
			case <-ended:
				return
			}
		}
	}()
	return func() { tick.Stop(); close(ended) }
}

var notInNames = regexp.MustCompile(`[^\p{L}\p{N} .-]+`)

// RecordingName proposes a file name: the instrument and the time.
func RecordingName(r *record.Record, now time.Time) string {
	t := strings.TrimSpace(notInNames.ReplaceAllString(r.Instrument.Title(), " "))
	return strings.Join(strings.Fields(t+" "+now.Format("2006-01-02 15-04-05")), " ") + ".wav"
}
