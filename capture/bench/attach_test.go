package bench

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"wornwood/capture/record"
)

const letter = "%PDF-1.7\nA letter.\n%%EOF\n"

func store(t *testing.T, b *Bench, name, content, kind string) (*Attached, error) {
	t.Helper()
	p := filepath.Join(t.TempDir(), name)
	write(t, p, []byte(content))
	return b.StoreAttachment(context.Background(), p, kind, nil)
}

func TestAttachmentIsKeptByteForByte(t *testing.T) {
	b := open(t, filepath.Join(t.TempDir(), "bench"))
	var last, total int64
	p := filepath.Join(t.TempDir(), "letter.pdf")
	write(t, p, []byte(letter))
	a, err := b.StoreAttachment(context.Background(), p, "", func(d, n int64) { last, total = d, n })
	must(t, err)
	if a.Name != "letter.pdf" || a.Kind != "document" || a.Type != "application/pdf" || a.Size != int64(len(letter)) || a.Imported == "" || a.Remark != "" {
		t.Errorf("%+v", a)
	}
	if last != total || total != a.Size {
		t.Errorf("progress ended at %d of %d", last, total)
	}
	st, err := os.Stat(b.AttachmentPath(a.ID))
	if err != nil || st.Mode().Perm() != 0o444 || !b.HasAttachment(a.ID) {
		t.Errorf("%v %v", st, err)
	}
	// The same content under another name and kind is one file.
	again, err := store(t, b, "copy.pdf", letter, "drawing")
	must(t, err)
	ids, _, err := b.attachments.List()
	if err != nil || again.ID != a.ID || again.Kind != "drawing" || len(ids) != 1 {
		t.Errorf("%+v, %d files, %v", again, len(ids), err)
	}
	f, n, err := b.Attachment(a.ID)
	must(t, err)
	defer f.Close()
	got := make([]byte, n)
	if _, err := f.ReadAt(got, 0); err != nil || string(got) != letter {
		t.Errorf("%q %v", got, err)
	}
	mem, err := b.StoreAttachmentBytes([]byte(letter), "../x/letter.pdf", "")
	if err != nil || mem.ID != a.ID || mem.Name != "letter.pdf" {
		t.Errorf("%+v %v", mem, err)
	}
}

func TestAttachmentRefused(t *testing.T) {
	b := open(t, filepath.Join(t.TempDir(), "bench"))
	for name, c := range map[string]struct{ file, content, kind, want string }{
		"empty":         {"x.pdf", "", "", "x.pdf is empty"},
		"a program":     {"letter.pdf", "\x7FELF\x02\x01\x01\x00 and more", "", "no file of a kind that can be attached"},
		"unknown kind":  {"letter.pdf", letter, "secret", `"secret" is no kind`},
		"wrong kind":    {"letter.pdf", letter, "film", "cannot be attached as a film; it can be a document or a drawing"},
		"cut in a head": {"take.flac", "fLa", "film", "cannot be attached as a film"},
	} {
		if _, err := store(t, b, c.file, c.content, c.kind); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, p := range map[string]string{"folder": t.TempDir(), "missing": filepath.Join(t.TempDir(), "no.pdf"), "pipe": pipe(t)} {
		if _, err := b.StoreAttachment(context.Background(), p, "", nil); err == nil {
			t.Errorf("a %s was taken", name)
		}
	}
	if ids, strangers, err := b.attachments.List(); err != nil || len(ids)+len(strangers) != 0 {
		t.Errorf("refused files left %v %v %v", ids, strangers, err)
	}
}

// pipe is a file that nobody writes to: reading it would never end.
func pipe(t *testing.T) string {
	t.Helper()
	p := filepath.Join(t.TempDir(), "pipe.wav")
	must(t, syscall.Mkfifo(p, 0o600))
	return p
}

// A file of holes has the size of one that is too large and takes no room.
func TestAttachmentTooLarge(t *testing.T) {
	b := open(t, filepath.Join(t.TempDir(), "bench"))
	for _, c := range []struct {
		head, kind string
		size       int64
		fits       bool
	}{
		{letter, "document", MaxAttachment + 1, false},
		{"\x00\x00\x00\x14ftypisom\x00\x00\x02\x00isom", "film", MaxFilm + 1, false},
		{"\x00\x00\x00\x14ftypisom\x00\x00\x02\x00isom", "sound", MaxAttachment + 1, false},
		{"\x00\x00\x00\x14ftypisom\x00\x00\x02\x00isom", "", MaxAttachment + 1, true}, // a film may be larger
	} {
		p := filepath.Join(t.TempDir(), "large")
		write(t, p, []byte(c.head))
		must(t, os.Truncate(p, c.size))
		ctx, stop := context.WithCancel(context.Background())
		_, err := b.StoreAttachment(ctx, p, c.kind, func(int64, int64) { stop() })
		stop()
		if c.fits != errors.Is(err, context.Canceled) || !c.fits && !strings.Contains(err.Error(), "MiB, more than the") {
			t.Errorf("%q of %d bytes as %q: %v", c.head[:8], c.size, c.kind, err)
		}
	}
	list, err := os.ReadDir(filepath.Join(b.dir, attachDir))
	if err != nil || len(list) != 0 {
		t.Errorf("what was cancelled or refused left %v %v", list, err)
	}
}

func TestCutOffAttachmentIsKeptWithARemark(t *testing.T) {
	b := open(t, filepath.Join(t.TempDir(), "bench"))
	a, err := store(t, b, "letter.pdf", letter[:15], "")
	if err != nil || !strings.Contains(a.Remark, "cut off") {
		t.Errorf("%+v %v", a, err)
	}
}

func TestSaveAttachment(t *testing.T) {
	b := open(t, filepath.Join(t.TempDir(), "bench"))
	a, err := store(t, b, "letter.pdf", letter, "")
	must(t, err)
	dir := t.TempDir()
	p, err := b.SaveAttachment(context.Background(), a.Attachment, dir)
	must(t, err)
	if got, err := os.ReadFile(p); err != nil || string(got) != letter || p != filepath.Join(dir, "letter.pdf") {
		t.Errorf("%s %q %v", p, got, err)
	}
	if _, err := b.SaveAttachment(context.Background(), a.Attachment, dir); err == nil || !strings.Contains(err.Error(), "is there already") {
		t.Errorf("written over: %v", err)
	}
	// A record made elsewhere may name a file as it likes.
	sly := a.Attachment
	sly.Name = "../../sly.pdf"
	if p, err := b.SaveAttachment(context.Background(), sly, dir); err != nil || filepath.Dir(p) != dir {
		t.Errorf("%s %v", p, err)
	}
	must(t, os.Chmod(b.AttachmentPath(a.ID), 0o644))
	must(t, os.WriteFile(b.AttachmentPath(a.ID), bytes.ToUpper([]byte(letter)), 0o644))
	out := filepath.Join(dir, "other.pdf")
	if _, err := b.SaveAttachment(context.Background(), a.Attachment, out); err == nil {
		t.Error("a damaged attachment was handed out")
	}
	if _, err := os.Stat(out); err == nil {
		t.Error("and left a file")
	}
	if _, err := b.SaveAttachment(context.Background(), record.Attachment{ID: "../x", Name: "x"}, out); err == nil {
		t.Error("a path was taken for a name")
	}
}

// A new examination starts from the last: papers that claims and materials name
// come along, photos of the last examination do not.
func TestBeginBringsPapersAlong(t *testing.T) {
	b := open(t, filepath.Join(t.TempDir(), "bench"))
	first := begin(t, b)
	bill, err := store(t, b, "bill.pdf", letter, "")
	must(t, err)
	loose, err := store(t, b, "loose.txt", "of no claim", "")
	must(t, err)
	photo := mustImport(t, b, first, writePhotos(t, 1)).Added[0].ID
	must(t, first.Do("all", set(t, record.AttachmentTarget(bill.ID), bill.Attachment), set(t, record.AttachmentTarget(loose.ID), loose.Attachment),
		set(t, "claim/c1", record.Claim{ID: "c1", About: "year", Text: "1974", Standing: record.Documented, Files: []string{bill.ID, photo}}),
		set(t, "claim/c2", record.Claim{ID: "c2", About: "colour", Text: "first", Standing: record.Seen, Files: []string{photo}}),
		set(t, "material/m1", record.Material{ID: "m1", Name: "Ebony", On: "fingerboard"})))
	second, err := b.Begin(first.Record().Examination.Instrument, record.Periodic, record.Instrument{})
	must(t, err)
	rec := second.Record()
	if got := fmt.Sprint(rec.Claims[0].Files, rec.Claims[1].Files, len(rec.Attachments), rec.Attachments[0].Name, len(rec.Materials)); got != fmt.Sprint([]string{bill.ID}, []string(nil), 1, "bill.pdf", 1) {
		t.Error(got)
	}
	if fmt.Sprint(first.Record().Claims[0].Files) != fmt.Sprint([]string{bill.ID, photo}) {
		t.Error("the last examination was changed")
	}
	clean(t, b)
}
