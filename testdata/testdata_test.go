package testdata_test

import (
	"bytes"
	"encoding/json"
	"image"
	"image/jpeg"
	"io/fs"
	"math"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"

	"github.com/disintegration/imaging"

	"wornwood/annotate/render"
	"wornwood/testdata"
)

// truth is the content of truth.json.
type truth struct {
	Scale  float64        `json:"scale_mm"`
	Marks  []render.Mark  `json:"marks"`
	Photos []render.Truth `json:"photos"`
}

func read(t *testing.T, name string) []byte {
	t.Helper()
	data, err := fs.ReadFile(testdata.DemoPhotos(), name)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func readTruth(t *testing.T) truth {
	t.Helper()
	var out truth
	if err := json.Unmarshal(read(t, "truth.json"), &out); err != nil {
		t.Fatal(err)
	}
	return out
}

// upright decodes a photo as a viewer shows it. The library turns it by the
// file's own orientation.
func upright(t *testing.T, name string) image.Image {
	t.Helper()
	img, err := imaging.Decode(bytes.NewReader(read(t, name)), imaging.AutoOrientation(true))
	if err != nil {
		t.Fatal(err)
	}
	return img
}

func TestTheSetIsWholeAndSmallEnough(t *testing.T) {
	entries, err := fs.ReadDir(testdata.DemoPhotos(), ".")
	if err != nil {
		t.Fatal(err)
	}
	var have, want []string
	total := int64(0)
	for _, e := range entries {
		info, err := e.Info()
		if err != nil {
			t.Fatal(err)
		}
		have, total = append(have, e.Name()), total+info.Size()
	}
	for _, v := range render.Views() {
		want = append(want, v.File)
	}
	want = append(want, "truth.json")
	slices.Sort(want)
	if !slices.Equal(have, want) {
		t.Errorf("files are %v, views %v", have, want)
	}
	if total > 9_000_000 {
		t.Errorf("the set takes %d bytes; the program carries it inside and 9 MB is the limit set for it", total)
	}
}

// A change of the outline, the marks or the views leaves the pictures behind:
// then they must be rendered again.
func TestTruthIsThatOfTheRenderer(t *testing.T) {
	s, err := render.NewStudio()
	if err != nil {
		t.Fatal(err)
	}
	now := truth{Scale: s.ScaleLength(), Marks: render.DemoMarks()}
	for _, v := range render.Views() {
		now.Photos = append(now.Photos, s.Truth(v))
	}
	a, _ := json.Marshal(now)
	b, _ := json.Marshal(readTruth(t))
	if !bytes.Equal(a, b) {
		t.Error("truth.json is not what the renderer says today: run go run testdata/render.go")
	}
}

func TestPhotosAreStoredTheWayTheirOrientationSays(t *testing.T) {
	turned := map[int]bool{}
	for _, p := range readTruth(t).Photos {
		c, err := jpeg.DecodeConfig(bytes.NewReader(read(t, p.File)))
		if err != nil {
			t.Fatal(err)
		}
		w, h := p.Size[0], p.Size[1]
		if p.Orientation == 6 || p.Orientation == 8 {
			w, h = h, w
		}
		if c.Width != w || c.Height != h {
			t.Errorf("%s is stored as %d x %d, not %d x %d", p.File, c.Width, c.Height, w, h)
		}
		if got := upright(t, p.File).Bounds().Size(); got != (image.Point{X: p.Size[0], Y: p.Size[1]}) {
			t.Errorf("%s is %v when upright", p.File, got)
		}
		turned[p.Orientation] = true
	}
	for _, o := range []int{1, 3, 6, 8} {
		if !turned[o] {
			t.Errorf("no photo has the orientation %d", o)
		}
	}
}

// exiftool is the outside reader of the metadata.
func exiftool(t *testing.T, args ...string) []map[string]any {
	t.Helper()
	tool, err := exec.LookPath("exiftool")
	if err != nil {
		t.Fatal("exiftool is not installed: without it the metadata cannot be checked")
	}
	args = append([]string{"-json", "-n"}, args...)
	for _, v := range render.Views() {
		args = append(args, filepath.Join("demo", v.File))
	}
	out, err := exec.Command(tool, args...).Output()
	if err != nil {
		t.Fatalf("exiftool: %v", err)
	}
	var list []map[string]any
	if err := json.Unmarshal(out, &list); err != nil {
		t.Fatal(err)
	}
	return list
}

func TestMetadataByExiftool(t *testing.T) {
	list := exiftool(t, "-EXIF:all", "-validate", "-warning", "-a", "-ThumbnailImageValidSize")
	edited, resaved, bare := 0, 0, 0
	for i, v := range render.Views() {
		got := list[i]
		if v.Exif == nil {
			bare++
			for _, k := range []string{"Make", "DateTimeOriginal", "ModifyDate", "Orientation"} {
				if got[k] != nil {
					t.Errorf("%s should carry no metadata, has %s %v", v.File, k, got[k])
				}
			}
			continue
		}
		changed := v.Exif.Original
		if v.Exif.Changed != "" {
			changed = v.Exif.Changed
			resaved++
		}
		want := map[string]any{
			"Make": v.Exif.Make, "Model": v.Exif.Model, "SerialNumber": v.Exif.Serial, "LensModel": v.Exif.Lens,
			"DateTimeOriginal": v.Exif.Original, "OffsetTimeOriginal": v.Exif.Offset, "ModifyDate": changed,
			"Orientation": float64(v.Orientation), "ISO": float64(v.Exif.ISO), "FocalLength": float64(v.Exif.Focal),
			"FNumber": float64(v.Exif.Aperture[0]) / float64(v.Exif.Aperture[1]),
		}
		if e := float64(v.Exif.Exposure[0]) / float64(v.Exif.Exposure[1]); math.Abs(asNumber(got["ExposureTime"])-e) > 1e-6 {
			t.Errorf("%s: ExposureTime is %v, not %v", v.File, got["ExposureTime"], e)
		}
		for k, w := range want {
			if got[k] != w {
				t.Errorf("%s: %s is %v, not %v", v.File, k, got[k], w)
			}
		}
		if n, err := json.Number(v.Exif.SubSec).Float64(); err != nil || asNumber(got["SubSecTimeOriginal"]) != n {
			t.Errorf("%s: SubSecTimeOriginal is %v, not %s", v.File, got["SubSecTimeOriginal"], v.Exif.SubSec)
		}
		if v.Exif.Software != "" {
			edited++
			if got["Software"] != v.Exif.Software {
				t.Errorf("%s: Software is %v", v.File, got["Software"])
			}
		} else if got["Software"] != nil {
			t.Errorf("%s: names the software %v", v.File, got["Software"])
		}
		if got["Validate"] != "0 0 0" {
			t.Errorf("%s: exiftool finds errors, warnings, minor ones: %v; %v", v.File, got["Validate"], got["Warning"])
		}
	}
	if edited != 1 || resaved != 1 || bare != 1 {
		t.Errorf("%d edited, %d saved again, %d without metadata: one of each gives an examiner something to remark on", edited, resaved, bare)
	}
}

func asNumber(v any) float64 {
	switch n := v.(type) {
	case float64:
		return n
	case string:
		if f, err := json.Number(n).Float64(); err == nil {
			return f
		}
	}
	return math.NaN()
}

// The thumbnail must be a JPEG of the stored picture.
func TestThumbnails(t *testing.T) {
	for _, v := range render.Views() {
		if v.Exif == nil {
			continue
		}
		out, err := exec.Command("exiftool", "-b", "-ThumbnailImage", filepath.Join("demo", v.File)).Output()
		if err != nil {
			t.Fatalf("exiftool: %v", err)
		}
		small, err := jpeg.Decode(bytes.NewReader(out))
		if err != nil {
			t.Fatalf("%s: thumbnail: %v", v.File, err)
		}
		full, err := jpeg.Decode(bytes.NewReader(read(t, v.File)))
		if err != nil {
			t.Fatal(err)
		}
		same := imaging.Resize(full, small.Bounds().Dx(), small.Bounds().Dy(), imaging.Box)
		diff := 0.0
		for y := range same.Rect.Dy() {
			for x := range same.Rect.Dx() {
				r, _, _, _ := small.At(x, y).RGBA()
				diff += math.Abs(float64(r>>8) - float64(same.NRGBAAt(x, y).R))
			}
		}
		if diff /= float64(same.Rect.Dx() * same.Rect.Dy()); diff > 4 {
			t.Errorf("%s: the thumbnail differs from the picture by %.1f levels", v.File, diff)
		}
	}
}
