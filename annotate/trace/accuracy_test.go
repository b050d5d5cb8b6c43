package trace

import (
	"context"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime/debug"
	"testing"

	"wornwood/annotate/shape"
)

// The compositions make much garbage; collecting it less often saves a quarter of the time.
func TestMain(m *testing.M) {
	debug.SetGCPercent(400)
	os.Exit(m.Run())
}

// filled is the silhouette as pixels of the photo: what lies within ring and
// holes by the even-odd rule.
func filled(r *Result, w, h int) []bool {
	m := make([]bool, w*h)
	shape.FillPolygon(shape.Grid{Cell: 1, W: w, H: h}, append([][]shape.Pt{r.Ring}, r.Holes...), func(y, x0, x1 int) {
		for x := x0; x < x1; x++ {
			m[y*w+x] = true
		}
	})
	return m
}

// picturesDir is where tests leave pictures to look at; empty for nowhere.
var picturesDir = os.Getenv("WORNWOOD_PICTURES")

// overlay leaves the photo with what was missed in blue and what was taken for
// the instrument in red.
func overlay(t *testing.T, name string, img *image.RGBA, got, truth []bool) {
	t.Helper()
	if picturesDir == "" {
		return
	}
	shown := image.NewRGBA(img.Rect)
	copy(shown.Pix, img.Pix)
	for i := range got {
		switch {
		case got[i] && !truth[i]:
			copy(shown.Pix[4*i:], []byte{255, 0, 0})
		case !got[i] && truth[i]:
			copy(shown.Pix[4*i:], []byte{0, 80, 255})
		}
	}
	keep(t, name, shown)
}

func keep(t *testing.T, name string, img image.Image) {
	t.Helper()
	f, err := os.Create(filepath.Join(picturesDir, "trace-"+name+".png"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := png.Encode(f, img); err != nil {
		t.Fatal(err)
	}
}

// shot is a composition to trace.
type shot struct {
	name  string
	img   *image.RGBA
	truth []bool
}

// scoreOf traces a shot. Nothing found scores nothing and counts as flagged.
func scoreOf(t *testing.T, s shot) (score float64, reliable bool, g Figures) {
	t.Helper()
	r, err := Silhouette(context.Background(), s.img, Options{})
	if errors.Is(err, ErrNothing) {
		return 0, false, g
	}
	if err != nil {
		t.Fatalf("%s: %v", s.name, err)
	}
	got := filled(r, s.img.Rect.Dx(), s.img.Rect.Dy())
	score = iou(got, s.truth)
	if picturesDir != "" && (score < 0.95 || os.Getenv("WORNWOOD_PICTURES_ALL") != "") {
		overlay(t, s.name, s.img, got, s.truth)
	}
	return score, r.Reliable, r.Figures
}

var (
	white    = color.RGBA{235, 234, 230, 255}
	light    = color.RGBA{196, 198, 200, 255}
	grey     = color.RGBA{125, 127, 130, 255}
	charcoal = color.RGBA{62, 63, 66, 255}
	blue     = color.RGBA{72, 96, 132, 255}
	green    = color.RGBA{88, 112, 82, 255}
	beige    = color.RGBA{206, 186, 152, 255}
	oak      = color.RGBA{150, 112, 74, 255}
)

// sound lays an instrument on a backdrop of a kind, three colours each. near
// is its own colour, 45 levels lighter.
func sound(s *stamp, kind string, seed uint64) []shot {
	near := s.near(45)
	colours := map[string][]color.RGBA{
		"plain":    {white, charcoal, near},
		"graded":   {light, blue, near},
		"fabric":   {white, green, beige},
		"shadowed": {light, grey, beige},
	}[kind]
	var out []shot
	for i, c := range colours {
		rnd := rand.New(rand.NewPCG(seed, uint64(i)+uint64(len(s.name))<<8))
		var b backdrop
		switch kind {
		case "plain":
			b = plain(s.w, s.h, c)
		case "graded":
			b = graded(s.w, s.h, c, rnd)
		case "fabric":
			b = fabric(s.w, s.h, c, rnd)
		case "shadowed":
			b = shadowed(s, c, rnd)
		}
		out = append(out, shot{fmt.Sprintf("%s-%s-%d", s.name, kind, i), s.over(b, 2, rnd), s.truth()})
	}
	return out
}

// The photographed instruments, 1000 pixels high, on backdrops whose true
// silhouettes are known from the alpha channel of the files.
func TestSilhouetteOfPhotographedInstruments(t *testing.T) {
	all := stamps(t, 667, 1000)
	for _, kind := range []struct {
		name string
		mean float64
	}{{"plain", 0.97}, {"graded", 0.95}, {"fabric", 0.95}, {"shadowed", 0.95}} {
		sum, least, n, flagged := 0.0, 1.0, 0, 0
		for _, s := range all {
			for _, c := range sound(s, kind.name, 1) {
				score, reliable, g := scoreOf(t, c)
				sum, least, n = sum+score, min(least, score), n+1
				if !reliable {
					flagged++
				}
				if score < 0.90 {
					t.Errorf("%s: intersection over union %.3f, under 0.90; %+v", c.name, score, g)
				}
			}
		}
		t.Logf("%-9s mean %.4f, least %.4f of %d, flagged as unreliable %d", kind.name, sum/float64(n), least, n, flagged)
		if sum/float64(n) < kind.mean {
			t.Errorf("%s: mean intersection over union %.4f, under %.2f", kind.name, sum/float64(n), kind.mean)
		}
	}
}
