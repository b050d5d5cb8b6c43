package receive

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"wornwood/capture/blob"
	"wornwood/capture/photo"
	"wornwood/capture/record"
	"wornwood/pdfout"
)

// Receiving is one instrument being received: a checked report and the answers
// given so far. Every answer is on disk before its method returns, in the
// user's folder under the report's SHA-256, so closing loses nothing. It is not
// for several goroutines.
type Receiving struct {
	*Report
	draft  record.Receipt // without a time
	folder string         // of this report's draft
	photos *blob.Store
}

// Open checks the report at path and begins its receiving in the user's folder,
// or goes on where it was left.
func Open(ctx context.Context, path, folder string, opt pdfout.VerifyOptions) (*Receiving, error) {
	rep, err := Read(ctx, path, opt)
	if err != nil {
		return nil, err
	}
	v := &Receiving{Report: rep, folder: filepath.Join(folder, "receiving", rep.Of.SHA256)}
	if err := os.MkdirAll(v.folder, 0o700); err != nil {
		return nil, fmt.Errorf("keep answers: %w", err)
	}
	if err := blob.CleanTemp(v.folder); err != nil {
		return nil, fmt.Errorf("keep answers: %w", err)
	}
	if v.photos, err = blob.Open(filepath.Join(v.folder, "photos")); err != nil {
		return nil, fmt.Errorf("keep answers: %w", err)
	}
	return v, v.load()
}

func (v *Receiving) draftPath() string { return filepath.Join(v.folder, "draft.json") }

// load reads the draft, or begins one with nothing checked.
func (v *Receiving) load() error {
	v.draft = record.Receipt{Schema: record.ReceiptSchema, Of: v.Of, Checked: v.Items()}
	data, err := readFile(v.draftPath(), record.MaxReceiptBytes)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	var d record.Receipt
	if err == nil {
		err = json.Unmarshal(data, &d)
	}
	if err == nil {
		err = d.Fits(v.Record)
	}
	if err == nil && d.Of.SHA256 != v.Of.SHA256 {
		err = errors.New("it belongs to another report")
	}
	if err != nil {
		return fmt.Errorf("read the answers kept in %s: %w; put that file aside to begin anew", v.draftPath(), err)
	}
	for i := range d.Checked { // the words may have changed with the program
		d.Checked[i].Says = v.draft.Checked[i].Says
	}
	d.Schema, d.Of = record.ReceiptSchema, v.Of
	v.draft = d
	return nil
}

// save keeps a changed draft, and only then takes it over. A draft may still
// lack what Finish asks for: who, when, the words of a difference, kind and place
// of what is new.
func (v *Receiving) save(d record.Receipt) error {
	trial := d
	trial.Checked = slices.Clone(d.Checked)
	for i := range trial.Checked {
		if c := &trial.Checked[i]; strings.TrimSpace(c.Note) == "" {
			c.Note = "to come"
		}
	}
	trial.New = slices.Clone(d.New)
	for i := range trial.New {
		if n := &trial.New[i]; n.Kind == "" || n.Place == "" {
			n.Kind, n.Place = n.Kind+"…", n.Place+"…"
		}
	}
	if trial.At.IsZero() {
		trial.At = time.Unix(0, 0)
	}
	if strings.TrimSpace(trial.By) == "" {
		trial.By = "nobody yet"
	}
	if err := trial.Check(); err != nil {
		return err
	}
	b, err := json.MarshalIndent(d, "", "  ")
	if err != nil {
		return fmt.Errorf("keep answers: %w", err)
	}
	err = blob.WriteFile(v.draftPath(), 0o600, func(w io.Writer) error { _, err := w.Write(append(b, '\n')); return err })
	if err != nil {
		return fmt.Errorf("keep answers: %w", err)
	}
	v.draft = d
	return nil
}

// change is the draft with lists of its own, to be altered and saved.
func (v *Receiving) change() record.Receipt {
	d := v.draft
	d.Checked, d.New, d.Photos = slices.Clone(d.Checked), slices.Clone(d.New), slices.Clone(d.Photos)
	return d
}

// Draft is what was answered so far. It is the Receiving's own; leave it alone.
func (v *Receiving) Draft() *record.Receipt { return &v.draft }

// Answer gives the answer about one entry; a difference needs words.
func (v *Receiving) Answer(what record.Subject, id string, a record.Answer, note string) error {
	d := v.change()
	for i := range d.Checked {
		if c := &d.Checked[i]; c.What == what && c.ID == id {
			c.Answer, c.Note = a, strings.TrimSpace(note)
			return v.save(d)
		}
	}
	return fmt.Errorf("answer: the report has no %s %.40s", what, id)
}

// Rest gives one answer about everything that is not checked yet.
func (v *Receiving) Rest(a record.Answer) error {
	if a == record.Differs {
		return errors.New("answer: a difference has to be said of each entry, in words")
	}
	d := v.change()
	for i := range d.Checked {
		if d.Checked[i].Answer == record.NotChecked {
			d.Checked[i].Answer = a
		}
	}
	return v.save(d)
}

// About sets who receives the instrument, where, and a note.
func (v *Receiving) About(by, place, note string) error {
	d := v.change()
	d.By, d.Place, d.Note = clip(by), clip(place), strings.TrimSpace(note)
	return v.save(d)
}

// AddNew adds something that the report does not have and returns its number.
func (v *Receiving) AddNew(n record.NewMark) (int, error) {
	d := v.change()
	n.Number = v.Record.NextNumber()
	for _, o := range d.New {
		n.Number = max(n.Number, o.Number+1)
	}
	n.Kind = record.Kind(clip(string(n.Kind)))
	d.New = append(d.New, n)
	return n.Number, v.save(d)
}

// ChangeNew replaces what was said of something new.
func (v *Receiving) ChangeNew(n record.NewMark) error {
	d := v.change()
	i := slices.IndexFunc(d.New, func(o record.NewMark) bool { return o.Number == n.Number })
	if i < 0 {
		return fmt.Errorf("change what is new: there is no number %d", n.Number)
	}
	d.New[i] = n
	return v.save(v.trim(d))
}

// RemoveNew takes something new away again. Its number is given to the next.
func (v *Receiving) RemoveNew(number int) error {
	d := v.change()
	d.New = slices.DeleteFunc(d.New, func(o record.NewMark) bool { return o.Number == number })
	if len(d.New) == len(v.draft.New) {
		return fmt.Errorf("take back what is new: there is no number %d", number)
	}
	return v.save(v.trim(d))
}

// trim leaves out photos that nothing new names any more.
func (v *Receiving) trim(d record.Receipt) record.Receipt {
	d.Photos = slices.DeleteFunc(d.Photos, func(p record.ReceiptPhoto) bool {
		return !slices.ContainsFunc(d.New, func(n record.NewMark) bool { return slices.Contains(n.Photos, p.ID) })
	})
	return d
}

// AddPhoto copies a photo beside the answers and ties it to something new.
func (v *Receiving) AddPhoto(number int, path string) error {
	d := v.change()
	i := slices.IndexFunc(d.New, func(o record.NewMark) bool { return o.Number == number })
	if i < 0 {
		return fmt.Errorf("add photo: there is nothing new with the number %d", number)
	}
	data, err := readFile(path, photo.MaxBytes)
	if err != nil {
		return fmt.Errorf("add photo: %w", err)
	}
	p, err := photo.Read(data, path)
	if err != nil {
		return fmt.Errorf("add photo: %w", err)
	}
	if _, err := reduced(context.Background(), data); err != nil {
		return fmt.Errorf("add photo %s: %w", photo.Name(path), err)
	}
	id, _, err := v.photos.PutBytes(data)
	if err != nil {
		return fmt.Errorf("add photo: %w", err)
	}
	if !slices.ContainsFunc(d.Photos, func(o record.ReceiptPhoto) bool { return o.ID == id }) {
		d.Photos = append(d.Photos, record.ReceiptPhoto{ID: id, Name: clip(p.Name), Size: int64(len(data)), Taken: clip(p.Taken)})
	}
	if !slices.Contains(d.New[i].Photos, id) {
		d.New[i].Photos = append(slices.Clone(d.New[i].Photos), id)
	}
	return v.save(d)
}

// Photo is a photo of something new as it is shown and printed: upright, at most
// 1600 pixels along its longer side, without metadata.
func (v *Receiving) Photo(id string) ([]byte, error) {
	data, err := v.photos.Bytes(id, photo.MaxBytes)
	if err != nil {
		return nil, fmt.Errorf("read photo: %w", err)
	}
	return reduced(context.Background(), data)
}

// Progress is how many entries were checked, of how many.
func (v *Receiving) Progress() (checked, all int) {
	t := v.draft.Tally()
	return t.All - t.NotChecked, t.All
}

// Finish is the receipt as of a time, checked.
func (v *Receiving) Finish(at time.Time) (*record.Receipt, error) {
	r := v.change()
	r.At = at.Truncate(time.Second)
	if err := r.Check(); err != nil {
		return nil, err
	}
	return &r, r.Fits(v.Record)
}

// MarkOf is the mark that an answer is about, nil where it is about none.
func (v *Receiving) MarkOf(c record.Checked) *record.Mark {
	n, err := strconv.Atoi(c.ID)
	if c.What != record.OfMark || err != nil {
		return nil
	}
	return v.Record.MarkByNumber(n)
}
