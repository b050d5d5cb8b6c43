package jobtest

import (
	"bytes"
	"fmt"
	"image/jpeg"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"wornwood/capture/bench"
	"wornwood/capture/record"
)

// TestBrokenOffPhotos cuts a camera's photo of 24 megapixels and two reduced
// phone photos in their picture, as a card pulled out too early leaves them.
// Each is taken in byte for byte, with a remark that says how many rows there
// are; the rows that are there are those of the whole photo, the others are
// white, never grey; and the report prints the remark.
func TestBrokenOffPhotos(t *testing.T) {
	dir := t.TempDir()
	cut := map[string]float64{} // share of the file that is left, by name
	from := map[string]string{}
	for i, src := range []string{largest(t, npmPhotos(t)),
		filepath.Join(filepath.Dir(samples(t)[0]), "has-lens-info.jpg"), filepath.Join(filepath.Dir(samples(t)[0]), "geodegrees_as_string.jpg")} {
		data, err := os.ReadFile(src)
		if err != nil {
			t.Fatal(err)
		}
		for _, share := range []float64{0.35, 0.8} {
			// The phone photos are mostly metadata: count from the picture's data.
			start := len(wholeSegments(data))
			name := fmt.Sprintf("cut %d at %.0f %%.jpg", i, 100*share)
			cut[name], from[name] = share, src
			if err := os.WriteFile(filepath.Join(dir, name), data[:start+int(share*float64(len(data)-start))], 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	j := begin(t)
	if res := j.take(dir); len(res.Added) != len(cut) || len(res.Refused) > 0 {
		t.Fatalf("%d of %d taken in, refused: %v", len(res.Added), len(cut), res.Refused)
	}
	whole := begin(t)
	j.record()
	text := squeeze(j.checkReport(j.issue()))
	for _, p := range j.ex.Record().Photos {
		rows := j.brokenRows(p)
		if !strings.Contains(text, fmt.Sprintf("%d of ", rows)) || strings.Count(text, "The file breaks off") != len(cut) {
			t.Errorf("the report does not print how much of %s is there", p.Name)
		}
		whole.checkRowsThere(j, p, from[p.Name], rows)
	}
	j.checkOriginals()
	j.whole()
}

// largest is the largest file of a folder.
func largest(t *testing.T, dir string) string {
	t.Helper()
	files := filesIn(t, dir)
	size := func(f string) int64 {
		st, err := os.Stat(f)
		if err != nil {
			t.Fatal(err)
		}
		return st.Size()
	}
	return slices.MaxFunc(files, func(a, b string) int { return int(size(a) - size(b)) })
}

// brokenRows is how many rows of the stored picture the remark says are there.
func (j *job) brokenRows(p record.Photo) int {
	j.t.Helper()
	stored := p.Height
	if p.Orientation >= 5 {
		stored = p.Width
	}
	for _, s := range p.Remarks {
		var rows, all int
		if n, _ := fmt.Sscanf(s, "The file breaks off: %d of %d rows could be read", &rows, &all); n == 2 {
			if all != stored || rows <= 0 || rows >= all {
				j.t.Errorf("%s has %d stored rows; the remark says %q", p.Name, stored, s)
			}
			return rows
		}
	}
	j.t.Errorf("%s is cut off and nothing says so: %v", p.Name, p.Remarks)
	return 0
}

// checkRowsThere compares a broken photo's preview with that of the whole one:
// the same above the last row that is there, white below it. whole is an
// examination for the whole photos.
func (whole *job) checkRowsThere(j *job, p record.Photo, src string, rows int) {
	j.t.Helper()
	whole.take(src)
	get := func(b *bench.Bench, id string) [][]byte {
		j.t.Helper()
		data, err := b.Preview(id, bench.SmallPreview)
		if err != nil {
			j.t.Fatal(err)
		}
		img, err := jpeg.Decode(bytes.NewReader(data))
		if err != nil {
			j.t.Fatal(err)
		}
		return storedRows(samplesOf(img), img.Bounds().Dx(), img.Bounds().Dy(), p.Orientation)
	}
	got, want := get(j.b, p.ID), get(whole.b, sumOf(j.t, src))
	if len(got) != len(want) {
		j.t.Fatalf("%s: previews of %d and %d rows", p.Name, len(got), len(want))
	}
	stored := p.Height
	if p.Orientation >= 5 {
		stored = p.Width
	}
	edge := rows * len(got) / stored
	// JPEG works in blocks of up to 16 rows; reducing mixes rows near the edge.
	for y, row := range got {
		switch {
		case y < edge-20:
			if d := difference(row, want[y]); d > 3 {
				j.t.Errorf("%s: row %d of %d, above the break at %d, is %.1f levels from the whole photo", p.Name, y, len(got), edge, d)
				return
			}
		case y > edge+20:
			if v := slices.Min(row); v < 250 {
				j.t.Errorf("%s: row %d of %d, below the break at %d, is not white (%d)", p.Name, y, len(got), edge, v)
				return
			}
		}
	}
}

// storedRows are the rows of an upright picture as the camera stored them. Only
// the two orientations that occur here are known: 1, and 6, which stands upright
// after a quarter turn clockwise.
func storedRows(rgb []byte, w, h, orientation int) (rows [][]byte) {
	if orientation != 6 {
		for y := range h {
			rows = append(rows, rgb[3*w*y:3*w*(y+1)])
		}
		return rows
	}
	for x := w - 1; x >= 0; x-- {
		var row []byte
		for y := range h {
			row = append(row, rgb[3*(w*y+x):3*(w*y+x)+3]...)
		}
		rows = append(rows, row)
	}
	return rows
}
