package view

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"wornwood/annotate"
	"wornwood/capture/bench"
	"wornwood/capture/media"
	"wornwood/capture/record"
)

// AttachmentRow is one document, drawing, sound or film.
type AttachmentRow struct {
	ID       string
	Number   int // as the report numbers it
	Kind     string
	About    string
	Name     string
	Date     string // of a paper, as written on it
	Size     string
	Hash     string // the first digits
	Tied     string // what names it
	Selected bool
}

// Attachments is the list of what is kept beside the photos.
type Attachments struct {
	s        *annotate.Session
	selected string
}

// NewAttachments makes the model on a session.
func NewAttachments(s *annotate.Session) *Attachments { return &Attachments{s: s} }

// AttachmentName is what an attachment is called in a list: what it is about or
// its kind, and its file.
func AttachmentName(a *record.Attachment) string {
	return join(" · ", Capital(firstOf(a.About, a.Kind)), a.Name)
}

// Rows lists the attachments in the order in which they came.
func (v *Attachments) Rows() []AttachmentRow {
	rec := v.s.Scene().Record
	at := v.Selected()
	var rows []AttachmentRow
	for i, a := range rec.Attachments {
		rows = append(rows, AttachmentRow{ID: a.ID, Number: i + 1, Kind: a.Kind, About: a.About, Name: a.Name, Date: a.Date, Size: SizeWords(a.Size),
			Hash: a.ID[:min(12, len(a.ID))], Tied: strings.Join(annotate.TiedTo(rec, a.ID), ", "), Selected: a.ID == at})
	}
	return rows
}

// SizeWords is a size for people: "34 kB", "4.8 MB".
func SizeWords(n int64) string {
	switch {
	case n >= 1e9:
		return fmt.Sprintf("%.2f GB", float64(n)/1e9)
	case n >= 1e6:
		return fmt.Sprintf("%.1f MB", float64(n)/1e6)
	case n >= 1000:
		return fmt.Sprintf("%d kB", (n+500)/1000)
	}
	return fmt.Sprintf("%d B", n)
}

// Selected is the identity of the attachment shown, "" while there is none.
func (v *Attachments) Selected() string {
	list := v.s.Scene().Record.Attachments
	if len(list) == 0 {
		return ""
	}
	if slices.ContainsFunc(list, func(a record.Attachment) bool { return a.ID == v.selected }) {
		return v.selected
	}
	return list[0].ID
}

// Select shows an attachment.
func (v *Attachments) Select(id string) { v.selected = id }

// Chosen is the attachment shown, nil while there is none.
func (v *Attachments) Chosen() *record.Attachment {
	return annotate.Attachment(v.s.Scene().Record, v.Selected())
}

// Fields are the fields of the attachment shown. What it may be attached as
// follows from its type.
func (v *Attachments) Fields() []Field {
	field := func(label, unit, hint string, at func(*record.Attachment) *string) Field {
		return Field{Label: label, Unit: unit, Hint: hint,
			Get: func() string {
				if a := v.Chosen(); a != nil {
					b := *a
					return *at(&b)
				}
				return ""
			},
			Set: func(t string) error {
				if v.Selected() == "" {
					return nil
				}
				return v.s.SetAttachment(v.Selected(), label, func(a *record.Attachment) { *at(a) = t })
			}}
	}
	kind := field("Kind", "", "", func(a *record.Attachment) *string { return &a.Kind })
	kind.Choices = record.AttachmentKinds()
	if a := v.Chosen(); a != nil && len(media.Kinds(a.Type)) > 0 {
		kind.Choices = media.Kinds(a.Type)
	}
	return []Field{kind,
		field("What it shows", "", "bill of sale; open strings …", func(a *record.Attachment) *string { return &a.About }),
		field("Date on it", "", "as it is written there", func(a *record.Attachment) *string { return &a.Date })}
}

// Facts are what is known of the file itself, caption and value.
func (v *Attachments) Facts() [][2]string {
	a := v.Chosen()
	if a == nil {
		return nil
	}
	return [][2]string{{"File", a.Name}, {"Type, size", fmt.Sprintf("%s, %s", a.Type, SizeWords(a.Size))}, {"Attached", dayAndTime(a.Imported)}}
}

// dayAndTime is an RFC 3339 time to the minute.
func dayAndTime(t string) string {
	if len(t) >= 16 {
		return t[:10] + " " + t[11:16]
	}
	return t
}

// Remove takes the attachment shown out of the examination and of all that names
// it, and shows the next.
func (v *Attachments) Remove() error {
	id := v.Selected()
	if id == "" {
		return nil
	}
	list := v.s.Scene().Record.Attachments
	next := neighbour(len(list), slices.IndexFunc(list, func(a record.Attachment) bool { return a.ID == id }))
	after := ""
	if next >= 0 {
		after = list[next].ID
	}
	if err := v.s.RemoveAttachment(id); err != nil {
		return err
	}
	v.selected = after
	return nil
}

// Summary is the line under the title.
func (v *Attachments) Summary() string {
	list := v.s.Scene().Record.Attachments
	if len(list) == 0 {
		return "Papers, drawings, sounds and films, kept byte for byte and named by their SHA-256"
	}
	n := map[string]int{}
	all := int64(0)
	for _, a := range list {
		n[a.Kind]++
		all += a.Size
	}
	var out []string
	for _, k := range record.AttachmentKinds() {
		if n[k] > 0 {
			out = append(out, count(n[k], k, k+"s"))
		}
	}
	return strings.Join(out, ", ") + "; " + SizeWords(all) + " together"
}

// Tab is the words of the tab: "Documents", with how many there are.
func (v *Attachments) Tab() string {
	return counted("Documents", len(v.s.Scene().Record.Attachments))
}

func counted(word string, n int) string {
	if n > 0 {
		return fmt.Sprintf("%s · %d", word, n)
	}
	return word
}

// Stored is what came of storing files on the bench.
type Stored struct {
	Files   []record.Attachment
	Remarks []string // sentences on files that look wrong and were stored
	Refused []bench.Refusal
}

// StoreFiles copies files among the bench's attachments, one after the other;
// entering them is Enter's, on the goroutine of the session. A file that cannot be
// used is refused by name and stops nothing. kind "" takes each file's own.
// progress is in MiB and may be nil.
func StoreFiles(ctx context.Context, b *bench.Bench, paths []string, kind string, progress func(done, total int, what string)) (*Stored, error) {
	out := &Stored{}
	all, before := int64(0), int64(0)
	for _, p := range paths {
		if st, err := os.Stat(p); err == nil {
			all += st.Size()
		}
	}
	for _, p := range paths {
		if err := ctx.Err(); err != nil {
			return out, err
		}
		said := int64(-1)
		a, err := b.StoreAttachment(ctx, p, kind, func(done, _ int64) {
			if mib := (before + done) >> 20; progress != nil && mib != said {
				said = mib
				progress(int(mib), int(all>>20), "MiB of "+filepath.Base(p))
			}
		})
		switch {
		case ctx.Err() != nil:
			return out, ctx.Err()
		case err != nil:
			out.Refused = append(out.Refused, bench.Refusal{File: p, Why: err.Error()})
			continue
		}
		before += a.Size
		out.Files = append(out.Files, a.Attachment)
		if a.Remark != "" {
			out.Remarks = append(out.Remarks, fmt.Sprintf("%s was attached, but %s.", a.Name, a.Remark))
		}
	}
	return out, nil
}

// Enter lists stored files in the examination, in one step of undo, shows the
// first of them and says what came of it.
func (v *Attachments) Enter(st *Stored) (string, error) {
	added, err := v.s.AddAttachments(st.Files...)
	if err != nil {
		return "", err
	}
	if len(st.Files) > 0 {
		v.selected = st.Files[0].ID
	}
	return fmt.Sprintf("%d attached, %d known already, %d refused", len(added), len(st.Files)-len(added), len(st.Refused)), nil
}

// Save writes a copy of the attachment shown to a new file or into a folder.
func (v *Attachments) Save(ctx context.Context, b *bench.Bench, to string) (string, error) {
	a := v.Chosen()
	if a == nil {
		return "", errors.New("save attachment: select one first")
	}
	return b.SaveAttachment(ctx, *a, to)
}

// Goes says what a file dropped on the window is, by its first bytes: a photo, a
// report to check, or something to attach. What is none of them is left to the
// import of photos, which refuses it in words.
func Goes(path string) string {
	if strings.EqualFold(filepath.Ext(path), ".pdf") {
		return "report"
	}
	st, err := os.Stat(path)
	if err != nil || !st.Mode().IsRegular() {
		return "photo" // a folder is imported whole
	}
	f, err := os.Open(path)
	if err != nil {
		return "photo"
	}
	defer f.Close()
	head := make([]byte, media.HeadSize)
	n, _ := f.ReadAt(head, 0) // what cannot be read has no first bytes, and the import says why
	t, ok := media.Sniff(head[:n])
	if ok && (!strings.HasPrefix(t, "image/") || t == "image/svg+xml") {
		return "attachment"
	}
	return "photo"
}
