package icc

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// Files written by Pillow: a profile of a few kilobytes and one that a JPEG
// must keep in several pieces.
func TestProfilesEmbeddedByPillow(t *testing.T) {
	long := append([]byte(nil), builtProfiles(t)["p3.icc"]...)
	long = append(long, bytes.Repeat([]byte{1, 2, 3, 4, 5, 6, 7}, 30000)...)
	for _, profile := range [][]byte{builtProfiles(t)["a98.icc"], long} {
		in, err := json.Marshal(map[string][]byte{"profile": profile})
		if err != nil {
			t.Fatal(err)
		}
		// Debian's packages belong to the system's own Python.
		cmd := exec.Command("/usr/bin/python3", filepath.Join("testdata", "embed.py"))
		cmd.Stdin = bytes.NewReader(in)
		out, err := cmd.Output()
		if err != nil {
			t.Fatalf("Python with Pillow (Debian package python3-pil) is needed for this check: %v", err)
		}
		var files struct{ JPEG, PNG []byte }
		if err := json.Unmarshal(out, &files); err != nil {
			t.Fatal(err)
		}
		if got, err := FromJPEG(files.JPEG); err != nil || !bytes.Equal(got, profile) {
			t.Errorf("JPEG: %d bytes of %d, %v", len(got), len(profile), err)
		}
		if got, err := FromPNG(files.PNG); err != nil || !bytes.Equal(got, profile) {
			t.Errorf("PNG: %d bytes of %d, %v", len(got), len(profile), err)
		}
		want, err := Parse(profile)
		if err != nil {
			t.Fatal(err)
		}
		for _, file := range [][]byte{files.JPEG, files.PNG} {
			if p, remarks := Of(file); p.Name() != want.Name() || len(remarks) > 0 {
				t.Errorf("profile %q, remarks %q, want %q", p.Name(), remarks, want.Name())
			}
		}
	}
}

func TestPiecesOfAProfile(t *testing.T) {
	whole := builtProfiles(t)["table.icc"]
	a, b, c := whole[:1000], whole[1000:2000], whole[2000:]
	swapped := jpegOf(t, piece(2, 3, b), segment{0xe2, []byte("MPF\x00")}, piece(3, 3, c), piece(1, 3, a))
	if got, err := FromJPEG(swapped); err != nil || !bytes.Equal(got, whole) {
		t.Errorf("out of order: %d bytes, %v", len(got), err)
	}
	if got, err := FromJPEG(jpegOf(t)); got != nil || err != nil {
		t.Errorf("without a profile: %d bytes, %v", len(got), err)
	}
	for name, segs := range map[string][]segment{
		"one missing":      {piece(1, 3, a), piece(3, 3, c)},
		"one doubled":      {piece(1, 2, a), piece(1, 2, a), piece(2, 2, b)},
		"two totals":       {piece(1, 2, a), piece(2, 3, b)},
		"number 0":         {piece(0, 1, whole)},
		"beyond the total": {piece(3, 2, a), piece(1, 2, b)},
		"no numbers":       {{0xe2, []byte(iccMark)}},
	} {
		data := jpegOf(t, segs...)
		if got, err := FromJPEG(data); got != nil || !errors.Is(err, errPieces) {
			t.Errorf("%s: %d bytes, %v", name, len(got), err)
		}
		if p, remarks := Of(data); p.Name() != "sRGB" || len(remarks) != 1 || !strings.Contains(remarks[0], "read as sRGB") {
			t.Errorf("%s: %s, %q", name, p.Name(), remarks)
		}
	}
	var many []segment
	for i := range 80 {
		many = append(many, piece(byte(i+1), 80, make([]byte, 60000)))
	}
	if _, err := FromJPEG(jpegOf(t, many...)); err == nil {
		t.Error("more than MaxBytes were put together")
	}
}

func TestPackedProfileIsBounded(t *testing.T) {
	bomb := packed(t, make([]byte, 64<<20))
	if len(bomb) > 1<<20 {
		t.Fatalf("%d bytes are no bomb", len(bomb))
	}
	if got, err := FromPNG(pngOf(t, chunk{"iCCP", bomb})); got != nil || err == nil {
		t.Errorf("%d bytes unpacked, %v", len(got), err)
	}
	for name, body := range map[string][]byte{"empty": {}, "no name": bytes.Repeat([]byte{'x'}, 200), "method 1": []byte("a\x00\x01xx"), "no zlib": []byte("a\x00\x00xxxxxx")} {
		if got, err := FromPNG(pngOf(t, chunk{"iCCP", body})); got != nil || !errors.Is(err, errDamaged) {
			t.Errorf("%s: %d bytes, %v", name, len(got), err)
		}
	}
}

// What a PNG says counts in the order of its specification (third edition,
// section 4.3), and each way leads to the colours it stands for.
func TestWhatAPNGSays(t *testing.T) {
	gamma := func(v uint32) chunk { return chunk{"gAMA", be32(v)} }
	chrm := func(c primaries) chunk {
		var b []byte
		for _, i := range []int{3, 0, 1, 2} {
			b = append(b, be32(uint32(math.Round(c[i][0]*1e5)))...)
			b = append(b, be32(uint32(math.Round(c[i][1]*1e5)))...)
		}
		return chunk{"cHRM", b}
	}
	p3 := chunk{"iCCP", packed(t, builtProfiles(t)["p3.icc"])}
	srgb := chunk{"sRGB", []byte{0}}
	for _, c := range []struct {
		chunks  []chunk
		name    string
		linear  bool
		remarks int
	}{
		{nil, "sRGB", false, 1},
		{[]chunk{srgb}, "sRGB", false, 0},
		{[]chunk{gamma(45455), srgb}, "sRGB", false, 0},
		{[]chunk{srgb, p3}, "P3 primaries", false, 0},
		{[]chunk{gamma(100000)}, "linear, sRGB primaries", true, 0},
		{[]chunk{gamma(100000), chrm(displayP3)}, "linear, own primaries", true, 0},
		{[]chunk{gamma(45455), chrm(adobeRGB)}, "gamma 2.20, own primaries", false, 0},
		{[]chunk{gamma(0)}, "sRGB", false, 1},
		{[]chunk{gamma(45455), chrm(primaries{})}, "sRGB", false, 1},
		{[]chunk{{"cICP", []byte{12, 13, 0, 1}}, srgb, p3}, "Display P3 primaries, sRGB curve", false, 0},
		{[]chunk{{"cICP", []byte{9, 8, 0, 1}}}, "BT.2020 primaries, linear", true, 0},
		{[]chunk{{"cICP", []byte{9, 16, 0, 1}}}, "sRGB", false, 1},
		{[]chunk{{"iCCP", packed(t, []byte("nothing"))}}, "sRGB", false, 1},
	} {
		p, remarks := Of(pngOf(t, c.chunks...))
		if p.Name() != c.name || p.Linear() != c.linear || len(remarks) != c.remarks {
			t.Errorf("%v: %q, linear %v, remarks %q; want %q, %v, %d of them", c.chunks, p.Name(), p.Linear(), remarks, c.name, c.linear, c.remarks)
		}
	}
	// The same primaries by numbers, by chromaticities and by a profile.
	byChunks, _ := Of(pngOf(t, gamma(100000), chrm(displayP3)))
	byNumber, _ := Of(pngOf(t, chunk{"cICP", []byte{12, 8, 0, 1}}))
	byProfile, _ := Of(pngOf(t, chunk{"iCCP", packed(t, rgbProfile(t, 4, "P3", displayP3, para(0, 1)))}))
	for _, p := range []*Profile{byChunks, byNumber} {
		if d := farthest(p, byProfile); d > 2e-4 {
			t.Errorf("%q is %.5f from the profile of the same primaries", p.Name(), d)
		}
	}
}

// farthest is the largest difference between two profiles over a lattice.
func farthest(p, q *Profile) float64 {
	d := 0.0
	for i := range 125 {
		r, g, b := float64(i%5)/4, float64(i/5%5)/4, float64(i/25)/4
		pr, pg, pb := p.ToLinearSRGB(r, g, b)
		qr, qg, qb := q.ToLinearSRGB(r, g, b)
		d = max(d, math.Abs(pr-qr), math.Abs(pg-qg), math.Abs(pb-qb))
	}
	return d
}

// Metadata written by exiftool (Debian package libimage-exiftool-perl).
func TestWhatExifSays(t *testing.T) {
	plain := filepath.Join(t.TempDir(), "plain.jpg")
	if err := os.WriteFile(plain, jpegOf(t), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args    []string
		name    string
		remarks int
	}{
		{[]string{"-ExifIFD:ColorSpace#=1"}, "sRGB", 0},
		{[]string{"-ExifIFD:ColorSpace#=65535"}, "sRGB", 1},
		{[]string{"-ExifIFD:ColorSpace#=65535", "-InteropIFD:InteropIndex#=R03"}, "Adobe RGB", 1},
		{[]string{"-ExifIFD:ColorSpace#=1", "-InteropIFD:InteropIndex#=R98"}, "sRGB", 0},
		{[]string{"-Artist=somebody"}, "sRGB", 1},
	} {
		for _, order := range []string{"II", "MM"} {
			args := append(append([]string{"-ExifByteOrder=" + order}, c.args...), "-o", "-", plain)
			data, err := exec.Command("exiftool", args...).Output()
			if err != nil {
				t.Fatalf("exiftool (Debian package libimage-exiftool-perl) is needed for this check: %v", err)
			}
			if p, remarks := Of(data); p.Name() != c.name || len(remarks) != c.remarks {
				t.Errorf("%v %s: %q, %q; want %q and %d remarks", c.args, order, p.Name(), remarks, c.name, c.remarks)
			}
		}
	}
	// A profile counts for more than the metadata.
	both := jpegOf(t, exifSegment(65535, "R03"), piece(1, 1, builtProfiles(t)["p3.icc"]))
	if p, remarks := Of(both); p.Name() != "P3 primaries" || len(remarks) != 0 {
		t.Errorf("profile and metadata: %q, %q", p.Name(), remarks)
	}
}
