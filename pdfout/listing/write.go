package listing

import (
	"archive/zip"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"wornwood/capture/blob"
	"wornwood/capture/record"
	"wornwood/pdfout/prose"
)

// Originals gives the photos of an examination as they were imported;
// capture/bench is one.
type Originals interface {
	OriginalBytes(id string) ([]byte, error)
}

// Written says what came of a set.
type Written struct {
	Files   []string // in their order
	Photos  int
	Bytes   int64
	LeftOut []LeftOut
	Remarks []string // about single photos, a sentence each
}

// The names of the texts in a set.
const (
	PlainFile    = "listing.txt"
	MarkdownFile = "listing.md"
	PageFile     = "listing.html"
)

// ErrThere says that something is at the place of the set already.
var ErrThere = errors.New("there is something of that name already, and it is not written over; choose another name")

// Write writes the set to a new folder, or to a new zip file when the name ends
// with .zip. The same record and draft give the same bytes. A set that fails or
// is cancelled leaves nothing.
func Write(ctx context.Context, to string, s prose.Source, d *Draft, from Originals, progress func(done, total int, what string)) (*Written, error) {
	if err := d.Check(); err != nil {
		return nil, fmt.Errorf("write listing: %w", err)
	}
	if err := vacant(to); err != nil {
		return nil, fmt.Errorf("write listing to %s: %w", to, err)
	}
	if strings.EqualFold(filepath.Ext(to), ".zip") {
		return writeZip(ctx, to, s, d, from, progress)
	}
	return writeFolder(ctx, to, s, d, from, progress)
}

// vacant wants nothing at the place, or an empty folder.
func vacant(to string) error {
	list, err := os.ReadDir(to)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil || len(list) > 0:
		return ErrThere
	}
	return nil
}

func writeFolder(ctx context.Context, to string, s prose.Source, d *Draft, from Originals, progress func(int, int, string)) (w *Written, err error) {
	to = filepath.Clean(to)
	if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
		return nil, fmt.Errorf("write listing: %w", err)
	}
	tmp, err := os.MkdirTemp(filepath.Dir(to), ".listing-*")
	if err != nil {
		return nil, fmt.Errorf("write listing: %w", err)
	}
	defer func() {
		if err != nil {
			os.RemoveAll(tmp)
		}
	}()
	if err := os.Chmod(tmp, 0o755); err != nil {
		return nil, fmt.Errorf("write listing: %w", err)
	}
	w, err = makeAll(ctx, s, d, from, progress, func(name string, data []byte) error {
		return os.WriteFile(filepath.Join(tmp, name), data, 0o644)
	})
	if err != nil {
		return nil, err
	}
	if err := os.Remove(to); err != nil && !errors.Is(err, fs.ErrNotExist) { // an empty folder
		return nil, fmt.Errorf("write listing: %w", err)
	}
	if err := os.Rename(tmp, to); err != nil {
		return nil, fmt.Errorf("write listing: %w", err)
	}
	return w, blob.SyncDir(filepath.Dir(to))
}

func writeZip(ctx context.Context, to string, s prose.Source, d *Draft, from Originals, progress func(int, int, string)) (w *Written, err error) {
	err = blob.WriteFile(to, 0o644, func(out io.Writer) error {
		z := zip.NewWriter(out)
		at := zipTime(s.Record)
		var err error
		w, err = makeAll(ctx, s, d, from, progress, func(name string, data []byte) error {
			h := &zip.FileHeader{Name: name, Method: zip.Deflate, Modified: at}
			if strings.HasSuffix(name, ".jpg") {
				h.Method = zip.Store // it does not get smaller
			}
			h.SetMode(0o644)
			f, err := z.CreateHeader(h)
			if err == nil {
				_, err = f.Write(data)
			}
			return err
		})
		if err != nil {
			return err
		}
		return z.Close()
	})
	return w, err
}

// zipTime is the day of the examination: a zip's bytes follow from what is in
// it, not from when it was made.
func zipTime(rec *record.Record) time.Time {
	t := rec.Examination.Date
	if t.Year() < 1980 || t.Year() > 2100 { // what the form can hold
		t = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)
	}
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC)
}

// made is one photo's pictures, or what went wrong with it.
type made struct {
	pictures []Picture
	remarks  []string
	err      error
}

// ahead is how many photos are in the making at once: a decoded original may take
// some hundred megabytes.
const ahead = 3

// makeAll makes all files in their order and hands them to put.
func makeAll(ctx context.Context, s prose.Source, d *Draft, from Originals, progress func(int, int, string), put func(name string, data []byte) error) (*Written, error) {
	if progress == nil {
		progress = func(int, int, string) {}
	}
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	taken, out := Choose(s.Record, d)
	w := &Written{Photos: len(taken), LeftOut: out}
	keep := func(name string, data []byte) error {
		w.Files, w.Bytes = append(w.Files, name), w.Bytes+int64(len(data))
		return put(name, data)
	}
	var figures []shown
	q := newQueue(ctx, taken, s.Record.Marks, d, from)
	for i := range taken {
		progress(i, len(taken), taken[i].Photo.Name)
		m, err := q.next(ctx, i)
		if err != nil {
			return nil, err
		}
		if m.err != nil {
			return nil, problem(taken[i].Photo, m.err)
		}
		for k, p := range m.pictures {
			if err := keep(sized(taken[i].Name, p.Size, k == 0), p.JPEG); err != nil {
				return nil, fmt.Errorf("write listing: %w", err)
			}
		}
		alt := caption(taken[i].Photo)
		if d.NoSerials {
			alt = withhold(alt, s.Record.Instrument.Serial)
		}
		figures = append(figures, shown{taken[i].Name, alt, m.pictures[0].Width, m.pictures[0].Height})
		for _, r := range m.remarks {
			w.Remarks = append(w.Remarks, taken[i].Name+": "+r)
		}
	}
	progress(len(taken), len(taken), "the text")
	text := d.Text
	if strings.TrimSpace(text) == "" {
		text = Compose(s, d.NoSerials)
	}
	for _, f := range [][2]string{{PlainFile, Plain(Blocks(text))}, {MarkdownFile, Markdown(text)}, {PageFile, page(text, figures)}} {
		if err := keep(f[0], []byte(f[1])); err != nil {
			return nil, fmt.Errorf("write listing: %w", err)
		}
	}
	return w, nil
}

// queue makes photos a few at a time and gives them in their order.
type queue struct {
	out  []chan made
	free chan struct{}
}

func newQueue(ctx context.Context, taken []Taken, marks []record.Mark, d *Draft, from Originals) *queue {
	q := &queue{out: make([]chan made, len(taken)), free: make(chan struct{}, ahead)}
	for i := range q.out {
		q.out[i] = make(chan made, 1) // whoever made it need not wait for a reader that went away
	}
	go func() {
		for i := range taken {
			select {
			case q.free <- struct{}{}:
			case <-ctx.Done():
				return
			}
			go func() { q.out[i] <- one(ctx, taken[i], marks, d, from) }()
		}
	}()
	return q
}

// next waits for photo i and lets another begin.
func (q *queue) next(ctx context.Context, i int) (made, error) {
	select {
	case m := <-q.out[i]:
		<-q.free
		return m, ctx.Err()
	case <-ctx.Done():
		return made{}, ctx.Err()
	}
}

func one(ctx context.Context, t Taken, marks []record.Mark, d *Draft, from Originals) (m made) {
	data, err := from.OriginalBytes(t.Photo.ID)
	if err != nil {
		return made{err: err}
	}
	m.pictures, m.remarks, m.err = Pictures(ctx, data, t, marks, d)
	return m
}
