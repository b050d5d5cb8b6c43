package view

import (
	"bytes"
	"errors"
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/annotate/dating"
	"wornwood/annotate/shape"
	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/pdfout/listing"
)

// rack keeps listings in memory and has small photos for every ID.
type rack struct {
	kept map[string][]byte
	full bool // nothing more can be kept
}

func (s *rack) Listing(exam string) ([]byte, error) { return s.kept[exam], nil }

func (s *rack) KeepListing(exam string, data []byte) error {
	if s.full {
		return errors.New("keep listing: the disk is full")
	}
	s.kept[exam] = data
	return nil
}

func (s *rack) Tables() []bench.TableFile { return nil }

func (s *rack) OriginalBytes(string) ([]byte, error) {
	var b bytes.Buffer
	err := jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, 30, 20)), nil)
	return b.Bytes(), err
}

var _ dating.TableKeeper = (*rack)(nil)

func newRack() *rack { return &rack{kept: map[string][]byte{}} }

// The text follows the record until somebody edits it, and follows it again when
// the edit is taken back.
func TestListingText(t *testing.T) {
	s, keep := opened(t), newRack()
	v, err := NewListing(s, keep)
	must(t, err)
	if v.Edited() || !strings.Contains(v.Text(), "said to be 1974") || len(v.Findings()) > 0 {
		t.Fatalf("%s\n%v", v.Text(), v.Findings())
	}
	must(t, s.SetInstrument("Colour", func(i *record.Instrument) { i.Colour = "Walnut stain" }))
	if !strings.Contains(v.Text(), "walnut stain") {
		t.Error("the text does not follow the record")
	}
	must(t, v.SetText("A guitar.\n"))
	again, err := NewListing(s, keep)
	must(t, err)
	if !again.Edited() || again.Text() != "A guitar.\n" || len(again.Findings()) == 0 {
		t.Errorf("kept %q", again.Text())
	}
	if title := CheckTitle(again.Findings()); !strings.HasSuffix(title, "left out") {
		t.Error(title)
	}
	must(t, again.SetText(again.composed()+"  \n"))
	if again.Edited() {
		t.Error("the composed text counts as edited")
	}
	must(t, again.SetText("Mine.\n"))
	must(t, again.Compose())
	if again.Edited() || again.Copy(1) == again.Copy(0) || !strings.HasPrefix(again.Copy(2), "<h1>") {
		t.Errorf("%q", again.Copy(2))
	}
}

// Covers lie within the photo and come off again; what cannot be kept, or is no
// number, changes nothing and says why.
func TestListingDecisions(t *testing.T) {
	s, keep := opened(t), newRack()
	v, err := NewListing(s, keep)
	must(t, err)
	a := strings.Repeat("a", 64)
	must(t, v.AddCover(a, shape.RectAround(shape.Pt{X: 25, Y: -4}, shape.Pt{X: 90, Y: 6})))
	if c := v.draft.Photo(a).Covers; len(c) != 1 || c[0] != (listing.Cover{25, 0, 30, 6}) {
		t.Fatalf("%v", c)
	}
	if v.CoverAt(a, shape.Pt{X: 26, Y: 3}) != 0 || v.CoverAt(a, shape.Pt{X: 3, Y: 3}) != -1 {
		t.Error("the cover is not found where it is")
	}
	for _, err := range []error{v.AddCover(a, shape.RectAround(shape.Pt{X: 40, Y: 1}, shape.Pt{X: 90, Y: 6})), v.AddCover("nothing", shape.Rect{}), v.SetSizes("large"), v.SetSizes("9"), v.SetQuality("0"), v.SetQuality("good")} {
		if err == nil {
			t.Error("something impossible passes")
		}
	}
	must(t, v.SetSizes("800, 1600 800"))
	must(t, v.SetQuality("70"))
	must(t, v.SetOut(strings.Repeat("b", 64), true))
	if v.Sizes() != "1600, 800" || v.Quality() != "70" {
		t.Errorf("%s, %s", v.Sizes(), v.Quality())
	}
	list := v.Photos()
	if len(list) != 2 || list[0].File != "01-photo.jpg" || len(list[0].Covers) != 1 || !list[0].Selected || list[1].File != "" || !list[1].Out {
		t.Errorf("%+v", list)
	}
	v.Select(strings.Repeat("b", 64))
	if v.Selected().Name != "b.jpg" {
		t.Error("the photo is not shown")
	}
	keep.full = true
	if err := v.RemoveCover(a, 0); err == nil || len(v.Photos()[0].Covers) != 1 {
		t.Errorf("a full disk: %v", err)
	}
	keep.full = false
	must(t, v.RemoveCover(a, 0))
	if len(v.Photos()[0].Covers) != 0 {
		t.Error("the cover is still there")
	}
	keep.kept[s.Scene().Record.Examination.ID] = []byte("{")
	if _, err := NewListing(s, keep); err == nil {
		t.Error("a damaged listing passes")
	}
}

func TestListingJob(t *testing.T) {
	s, keep := opened(t), newRack()
	v, err := NewListing(s, keep)
	must(t, err)
	must(t, v.SetOut(strings.Repeat("b", 64), true))
	to := filepath.Join(t.TempDir(), "set")
	job, err := v.Job(to)
	must(t, err)
	must(t, job.Run(t.Context(), nil))
	said := strings.Join(job.Said(), " ")
	if !strings.Contains(said, "1 photo and the text") && !strings.Contains(said, "One photo") || !strings.Contains(said, "b.jpg (back) is not in it: it was left out.") {
		t.Error(said)
	}
	if _, err := os.Stat(filepath.Join(to, "01-photo.jpg")); err != nil {
		t.Error(err)
	}
}
