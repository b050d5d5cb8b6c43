package bench

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"golang.org/x/sys/unix"

	"wornwood/capture/photo"
	"wornwood/capture/record"
)

func names(ps []record.Photo) (s []string) {
	for _, p := range ps {
		s = append(s, p.Name)
	}
	return s
}

func mustImport(t *testing.T, b *Bench, ex *Exam, sources ...string) *ImportResult {
	t.Helper()
	res, err := b.Import(context.Background(), ex, sources, nil)
	if err != nil {
		t.Fatal(err)
	}
	return res
}

func TestImportFoldersAndRefusals(t *testing.T) {
	b := open(t, filepath.Join(t.TempDir(), "bench"))
	ex := begin(t, b)
	src := t.TempDir()
	write(t, filepath.Join(src, "b.jpg"), jpegOf(t, 1))
	write(t, filepath.Join(src, "a", "deep", "z.JPG"), jpegOf(t, 2))
	write(t, filepath.Join(src, "a", "same.jpg"), jpegOf(t, 1)) // the content of b.jpg
	write(t, filepath.Join(src, ".hidden.jpg"), jpegOf(t, 3))
	write(t, filepath.Join(src, ".cache", "x.jpg"), jpegOf(t, 4))
	write(t, filepath.Join(src, "notes.txt"), []byte("bring the case"))
	write(t, filepath.Join(src, "empty.jpg"), nil)
	write(t, filepath.Join(src, "phone.heic"), []byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic"))
	write(t, filepath.Join(src, "short.jpg"), jpegOf(t, 5)[:40])
	if err := unix.Mkfifo(filepath.Join(src, "pipe.jpg"), 0o600); err != nil {
		t.Fatal(err)
	}
	seen := map[string]int{}
	res, err := b.Import(context.Background(), ex, []string{src, filepath.Join(src, "gone.jpg")}, func(done, total int, file string) {
		seen[filepath.Base(file)] = done
		if total != 8 {
			t.Errorf("total %d", total)
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	if got := names(res.Added); !slices.Equal(got, []string{"z.JPG", "same.jpg"}) {
		t.Errorf("added %v", got)
	}
	if len(res.Known) != 1 || filepath.Base(res.Known[0]) != "b.jpg" {
		t.Errorf("known %v", res.Known)
	}
	want := map[string]string{
		"notes.txt":  "notes.txt is not a photo that can be read here; bring it as JPEG or PNG",
		"empty.jpg":  "empty.jpg is empty; copy it from the camera again",
		"phone.heic": "phone.heic is an HEIC photo, which cannot be read here yet; save it as JPEG or PNG and import that",
		"short.jpg":  "short.jpg cannot be shown: ",
		"pipe.jpg":   "pipe.jpg is not an ordinary file; choose the photo itself",
		"gone.jpg":   "gone.jpg is not there; check its name, and whether its card or disk is still connected",
	}
	for _, r := range res.Refused {
		if w, ok := want[filepath.Base(r.File)]; !ok || !strings.HasPrefix(r.Why, w) {
			t.Errorf("%s: %q, want %q", r.File, r.Why, w)
		}
		delete(want, filepath.Base(r.File))
	}
	if len(want) > 0 || len(seen) != 8 {
		t.Errorf("not refused: %v; progress of %v", want, seen)
	}
	clean(t, b)
}

func TestImportAgainAndElsewhere(t *testing.T) {
	b := open(t, filepath.Join(t.TempDir(), "bench"))
	src := writePhotos(t, 3)
	first, second := begin(t, b), begin(t, b)
	if res := mustImport(t, b, first, src); len(res.Added) != 3 {
		t.Fatalf("%+v", res)
	}
	if res := mustImport(t, b, first, src); len(res.Added) != 0 || len(res.Known) != 3 {
		t.Errorf("again: %+v", res)
	}
	// In another examination it is new there, but stored only once.
	if res := mustImport(t, b, second, src, src); len(res.Added) != 3 || len(res.Known) != 3 {
		t.Errorf("elsewhere: %+v", res)
	}
	if ids, _, err := b.blobs.List(); err != nil || len(ids) != 3 {
		t.Errorf("%d originals stored, %v", len(ids), err)
	}
}

func TestImportIsOneUndo(t *testing.T) {
	b := open(t, filepath.Join(t.TempDir(), "bench"))
	ex := begin(t, b)
	mustImport(t, b, ex, writePhotos(t, 4))
	if name, ok := ex.CanUndo(); !ok || name != "Photos imported" {
		t.Errorf("%q %v", name, ok)
	}
	if _, err := ex.Undo(); err != nil || len(ex.Record().Photos) != 0 {
		t.Errorf("%d photos left, %v", len(ex.Record().Photos), err)
	}
	clean(t, b)
	if _, err := ex.Redo(); err != nil || len(ex.Record().Photos) != 4 {
		t.Errorf("%d photos back, %v", len(ex.Record().Photos), err)
	}
}

// Cancelled after any number of photos, what was entered is whole and nothing
// else is on the bench.
func TestImportCancelled(t *testing.T) {
	src := writePhotos(t, 8)
	for stopAt := range 9 {
		t.Run(fmt.Sprint(stopAt), func(t *testing.T) {
			b := open(t, filepath.Join(t.TempDir(), "bench"))
			ex := begin(t, b)
			ctx, stop := context.WithCancel(context.Background())
			defer stop()
			if stopAt == 0 {
				stop()
			}
			res, err := b.Import(ctx, ex, []string{src}, func(done, _ int, _ string) {
				if done == stopAt {
					stop()
				}
			})
			ids, _, lerr := b.blobs.List()
			if lerr != nil || len(ids) != len(res.Added) || len(ex.Record().Photos) != len(res.Added) {
				t.Errorf("%d stored, %d in the record, %d reported", len(ids), len(ex.Record().Photos), len(res.Added))
			}
			whole := len(res.Added) == 8
			if len(res.Added) < stopAt || whole != (err == nil) || !whole && !errors.Is(err, context.Canceled) {
				t.Errorf("%d added, %v", len(res.Added), err)
			}
			clean(t, b)
			if res := mustImport(t, b, ex, src); len(res.Added)+len(res.Known) != 8 {
				t.Errorf("afterwards %+v", res)
			}
		})
	}
}

func TestImportIntoIssued(t *testing.T) {
	b := open(t, filepath.Join(t.TempDir(), "bench"))
	ex := begin(t, b)
	if err := ex.SetIssued(record.Issued{Number: "CR-2026-0001", File: "reports/CR-2026-0001.pdf"}); err != nil {
		t.Fatal(err)
	}
	if _, err := b.Import(context.Background(), ex, []string{writePhotos(t, 1)}, nil); !errors.Is(err, ErrIssued) {
		t.Error(err)
	}
}

// pngHeader is a PNG that claims a size and has next to no pixels.
func pngHeader(t *testing.T, w, h int) []byte {
	t.Helper()
	var buf bytes.Buffer
	if err := png.Encode(&buf, image.NewNRGBA64(image.Rect(0, 0, 1, 1))); err != nil {
		t.Fatal(err)
	}
	b := buf.Bytes()
	for i, v := range []int{w, h} {
		copy(b[16+4*i:], []byte{byte(v >> 24), byte(v >> 16), byte(v >> 8), byte(v)})
	}
	return b
}

func TestHugePhotos(t *testing.T) {
	b := open(t, filepath.Join(t.TempDir(), "bench"))
	ex := begin(t, b)
	src := t.TempDir()
	write(t, filepath.Join(src, "bomb.png"), pngHeader(t, 60000, 60000))
	big := filepath.Join(src, "big.jpg")
	write(t, big, jpegOf(t, 1))
	if err := os.Truncate(big, photo.MaxBytes+1); err != nil { // sparse: it takes no room
		t.Fatal(err)
	}
	res := mustImport(t, b, ex, src)
	if len(res.Refused) != 2 || len(res.Added) != 0 {
		t.Fatalf("%+v", res)
	}
	for _, r := range res.Refused {
		if !strings.HasPrefix(r.Why, filepath.Base(r.File)+" ") || !strings.Contains(r.Why, "save a smaller copy") {
			t.Errorf("%q", r.Why)
		}
	}
	if ids, _, err := b.blobs.List(); err != nil || len(ids) != 0 {
		t.Errorf("stored: %v %v", ids, err)
	}
}

// A photo that breaks off is kept, shown as far as it goes, and says so.
func TestPhotoThatBreaksOff(t *testing.T) {
	b := open(t, filepath.Join(t.TempDir(), "bench"))
	ex := begin(t, b)
	src := filepath.Join(t.TempDir(), "cut.jpg")
	data := jpegOf(t, 1)
	write(t, src, data[:len(data)*3/4])
	res := mustImport(t, b, ex, src)
	if len(res.Added) != 1 || !slices.ContainsFunc(res.Added[0].Remarks, func(s string) bool { return strings.HasPrefix(s, "The file breaks off: ") }) {
		t.Errorf("%+v", res)
	}
}

func TestPreviewsAreRemade(t *testing.T) {
	b := open(t, filepath.Join(t.TempDir(), "bench"))
	ex := begin(t, b)
	id := mustImport(t, b, ex, writePhotos(t, 1)).Added[0].ID
	want, err := b.Preview(id, SmallPreview)
	if err != nil {
		t.Fatal(err)
	}
	p := b.previewPath(id, SmallPreview)
	for name, harm := range map[string]func() error{
		"gone":  func() error { return os.RemoveAll(filepath.Join(b.dir, previewsDir)) },
		"empty": func() error { return os.WriteFile(p, nil, 0o644) },
		"cut":   func() error { return os.WriteFile(p, want[:len(want)/2], 0o644) },
		"not a folder": func() error {
			return errors.Join(os.RemoveAll(filepath.Dir(p)), os.WriteFile(filepath.Dir(p), nil, 0o644))
		},
	} {
		if err := harm(); err != nil {
			t.Fatal(err)
		}
		if got, err := b.Preview(id, SmallPreview); err != nil || !bytes.Equal(got, want) {
			t.Errorf("%s: %d bytes, want %d, %v", name, len(got), len(want), err)
		}
	}
	for _, bad := range []struct {
		id   string
		size int
	}{{id, 1000}, {"../../x", SmallPreview}, {strings.Repeat("0", 64), SmallPreview}} {
		if _, err := b.Preview(bad.id, bad.size); err == nil {
			t.Errorf("%v: a preview", bad)
		}
	}
}
