package bench

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"wornwood/capture/blob"
	"wornwood/capture/media"
	"wornwood/capture/photo"
	"wornwood/capture/record"
)

// The largest attachments, in bytes.
const (
	MaxFilm       = 2 << 30
	MaxAttachment = 128 << 20 // documents, drawings and sounds
)

// Attached is a file that was stored for an examination.
type Attached struct {
	record.Attachment
	// Remark says in a sentence what looks wrong with the file as it came, such
	// as that it seems cut off; it is stored all the same. "" for nothing.
	Remark string `json:"remark,omitempty"`
}

// StoreAttachment copies a file byte for byte among the attachments and returns
// what a record keeps of it; entering that is Session.AddAttachments'. kind is
// one of record.AttachmentKinds; "" takes what the file's type usually is. The
// error is a sentence for the user. progress, in bytes, may be nil.
func (b *Bench) StoreAttachment(ctx context.Context, path, kind string, progress func(done, total int64)) (*Attached, error) {
	name := photo.Name(path)
	f, st, err := openOrdinary(path, "file")
	if err != nil {
		return nil, err
	}
	defer f.Close()
	mediaType, kind, err := attachable(f, name, kind, st.Size())
	if err != nil {
		return nil, err
	}
	r := &watched{ctx: ctx, r: f, total: st.Size(), progress: progress}
	id, size, _, err := b.attachments.Put(r, limitOf(kind))
	switch {
	case ctx.Err() != nil:
		return nil, ctx.Err()
	case errors.Is(err, blob.ErrTooLarge):
		return nil, tooLargeFor(name, kind, st.Size())
	case err != nil:
		return nil, fmt.Errorf("%s was not stored: %w", name, err)
	case size != st.Size():
		return nil, fmt.Errorf("%s changed while it was copied; attach it again when nothing writes to it any more", name)
	}
	if err := b.attachments.Verify(id); err != nil { // read back, as photos are
		return nil, fmt.Errorf("%s was not stored: %w", name, err)
	}
	return &Attached{
		Attachment: record.Attachment{ID: id, Name: name, Kind: kind, Type: mediaType, Size: size, Imported: b.now().Truncate(time.Second).Format(time.RFC3339)},
		Remark:     media.Whole(f, size, mediaType),
	}, nil
}

// StoreAttachmentBytes is StoreAttachment for a file that is in memory, such as
// a recording just made.
func (b *Bench) StoreAttachmentBytes(data []byte, name, kind string) (*Attached, error) {
	name = photo.Name(name)
	mediaType, kind, err := attachable(bytes.NewReader(data), name, kind, int64(len(data)))
	if err != nil {
		return nil, err
	}
	id, _, err := b.attachments.PutBytes(data)
	if err == nil {
		err = b.attachments.Verify(id)
	}
	if err != nil {
		return nil, fmt.Errorf("%s was not stored: %w", name, err)
	}
	return &Attached{Attachment: record.Attachment{ID: id, Name: name, Kind: kind, Type: mediaType, Size: int64(len(data)), Imported: b.now().Truncate(time.Second).Format(time.RFC3339)}}, nil
}

// attachable tells a file's type and checks that it may be attached as the kind.
func attachable(f io.ReaderAt, name, kind string, size int64) (mediaType, as string, err error) {
	if size == 0 {
		return "", "", fmt.Errorf("%s is empty; copy it again", name)
	}
	head := make([]byte, media.HeadSize)
	n, err := f.ReadAt(head, 0)
	if err != nil && !errors.Is(err, io.EOF) {
		return "", "", fmt.Errorf("%s cannot be read (%w); copy it again", name, cause(err))
	}
	mediaType, ok := media.Sniff(head[:n])
	if !ok {
		return "", "", fmt.Errorf("%s is no file of a kind that can be attached: PDF, plain text, JPEG, PNG, TIFF, HEIC, WebP, GIF or SVG; WAV, FLAC, MP3, Ogg or M4A; MP4, MOV, WebM or MKV. Save or print it as one of these", name)
	}
	kinds := media.Kinds(mediaType)
	switch {
	case kind == "":
		kind = kinds[0]
	case !slices.Contains(record.AttachmentKinds(), kind):
		return "", "", fmt.Errorf("attach %s: %q is no kind; the kinds are %s", name, kind, strings.Join(record.AttachmentKinds(), ", "))
	case !slices.Contains(kinds, kind):
		return "", "", fmt.Errorf("%s (%s) cannot be attached as a %s; it can be a %s", name, mediaType, kind, strings.Join(kinds, " or a "))
	}
	if size > limitOf(kind) {
		return "", "", tooLargeFor(name, kind, size)
	}
	return mediaType, kind, nil
}

func limitOf(kind string) int64 {
	if kind == media.Film {
		return MaxFilm
	}
	return MaxAttachment
}

func tooLargeFor(name, kind string, size int64) error {
	return fmt.Errorf("%s has %d MiB, more than the %d that a %s may have; attach a shorter or smaller one", name, size>>20, limitOf(kind)>>20, kind)
}

// watched is a reader that ends with its context and tells how far it is.
type watched struct {
	ctx         context.Context
	r           io.Reader
	done, total int64
	progress    func(done, total int64)
}

func (w *watched) Read(p []byte) (int, error) {
	if err := w.ctx.Err(); err != nil {
		return 0, err
	}
	n, err := w.r.Read(p)
	w.done += int64(n)
	if w.progress != nil && n > 0 {
		w.progress(w.done, w.total)
	}
	return n, err
}

// Attachment opens an attachment, byte for byte as it came, and says its size in
// bytes. It is read once to check it.
func (b *Bench) Attachment(id string) (Original, int64, error) {
	f, err := b.attachments.Open(id)
	if err != nil {
		return nil, 0, fmt.Errorf("open attachment: %w", err)
	}
	return f, f.Size, nil
}

// HasAttachment tells whether the file is on the bench, without reading it.
func (b *Bench) HasAttachment(id string) bool { return b.attachments.Has(id) }

// AttachmentPath is where an attachment lies, for showing it to a person; read
// it through Attachment, which checks it. "" when id is not a name.
func (b *Bench) AttachmentPath(id string) string { return b.attachments.Path(id) }

// SaveAttachment writes a copy of an attachment, byte for byte, to a new file.
// A file that is there already is never written over; a folder takes the copy
// under the attachment's name.
func (b *Bench) SaveAttachment(ctx context.Context, a record.Attachment, to string) (path string, err error) {
	if st, err := os.Stat(to); err == nil && st.IsDir() {
		to = filepath.Join(to, photo.Name(a.Name))
	}
	if _, err := os.Lstat(to); err == nil {
		return "", fmt.Errorf("save %s: %s is there already; name a new file", a.Name, filepath.Base(to))
	} else if !errors.Is(err, fs.ErrNotExist) {
		return "", fmt.Errorf("save %s: %w", a.Name, err)
	}
	f, err := b.attachments.Open(a.ID)
	if err != nil {
		return "", fmt.Errorf("save %s: %w", a.Name, err)
	}
	defer f.Close()
	err = blob.WriteFile(to, 0o644, func(w io.Writer) error {
		_, err := io.Copy(w, &watched{ctx: ctx, r: f, total: f.Size})
		return err
	})
	if err != nil {
		return "", fmt.Errorf("save %s: %w", a.Name, err)
	}
	return to, nil
}
