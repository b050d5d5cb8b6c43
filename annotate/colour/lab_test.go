package colour

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
)

// The 34 pairs of Sharma, Wu and Dalal, Color Res. Appl. 30(1), 2005, table 1,
// to its four decimals, in both orders.
func TestDE2000AgainstTheTable(t *testing.T) {
	rows := table(t, "ciede2000.csv")
	if len(rows) != 34 {
		t.Fatalf("%d pairs, want 34", len(rows))
	}
	for i, r := range rows {
		p, q := Lab{r[0], r[1], r[2]}, Lab{r[3], r[4], r[5]}
		if d := DE2000(p, q); math.Abs(d-r[6]) > 1e-4 {
			t.Errorf("pair %d: %.5f, want %.4f", i+1, d, r[6])
		}
		if d := DE2000(q, p); math.Abs(d-r[6]) > 1e-4 {
			t.Errorf("pair %d swapped: %.5f, want %.4f", i+1, d, r[6])
		}
	}
}

// table reads the numbers of a file of testdata, without its heading.
func table(t *testing.T, name string) [][]float64 {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out [][]float64
	for _, r := range rows[1:] {
		var v []float64
		for _, s := range r {
			x, err := strconv.ParseFloat(s, 64)
			if err != nil {
				t.Fatal(err)
			}
			v = append(v, x)
		}
		out = append(out, v)
	}
	return out
}

// A thousand random colours and 500 differences against scikit-image and
// OpenCV. Their matrix and white have other digits than IEC 61966-2-1, and
// OpenCV looks them up in a coarse table.
func TestLabAgainstOtherLibraries(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	colours := make([]Linear, 1000)
	for i := range colours {
		for c := range 3 {
			colours[i][c] = r.Float64()
			if i%3 == 0 {
				colours[i][c] *= colours[i][c] * colours[i][c]
			}
		}
	}
	in, err := json.Marshal(map[string]any{"linear": colours})
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("/usr/bin/python3", filepath.Join("testdata", "reference.py")) // Debian's packages belong to the system's own Python
	cmd.Stdin = bytes.NewReader(in)
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("Python with scikit-image and OpenCV (Debian packages python3-skimage, python3-opencv) is needed for this check: %v", err)
	}
	var ref struct {
		Skimage, OpenCV [][3]float64
		DE76, DE2000    []float64
		Encoded         []Linear
	}
	if err := json.Unmarshal(out, &ref); err != nil || len(ref.Skimage) != 1000 || len(ref.OpenCV) != 1000 || len(ref.DE2000) != 500 {
		t.Fatalf("%d and %d colours, %v", len(ref.Skimage), len(ref.OpenCV), err)
	}
	var sk, cv, cvMean, de, de00 float64
	for i, c := range colours {
		l := c.Lab()
		sk = max(sk, DEab(l, Lab{ref.Skimage[i][0], ref.Skimage[i][1], ref.Skimage[i][2]}))
		far := DEab(l, Lab{ref.OpenCV[i][0], ref.OpenCV[i][1], ref.OpenCV[i][2]})
		cv, cvMean = max(cv, far), cvMean+far/1000
		for k, v := range c {
			if math.Abs(Encode(v)-ref.Encoded[i][k]) > 1e-4 || math.Abs(Decode(Encode(v))-v) > 1e-9 {
				t.Errorf("transfer of %g: %g, want %g", v, Encode(v), ref.Encoded[i][k])
			}
		}
	}
	for i := range ref.DE2000 {
		p, q := colours[2*i].Lab(), colours[2*i+1].Lab()
		de = max(de, math.Abs(DEab(p, q)-ref.DE76[i]))
		de00 = max(de00, math.Abs(DE2000(p, q)-ref.DE2000[i]))
	}
	t.Logf("largest differences: scikit-image %.4f, OpenCV %.4f (mean %.4f), dE*ab %.4f, CIEDE2000 %.4f", sk, cv, cvMean, de, de00)
	if sk > 0.05 || cv > 0.6 || cvMean > 0.2 || de > 0.05 || de00 > 0.05 {
		t.Errorf("too far from scikit-image (%.3f), OpenCV (%.3f, mean %.3f), dE*ab (%.3f), CIEDE2000 (%.3f)", sk, cv, cvMean, de, de00)
	}
}

// Values computed outside from the definitions of IEC 61966-2-1 and IEC 60050
// (tolerance 0.02): the definitions are quoted from memory.
func TestLabOfKnownColours(t *testing.T) {
	for _, c := range []struct {
		code [3]float64
		want Lab
	}{
		{[3]float64{255, 0, 0}, Lab{53.2329, 80.1053, 67.2228}},
		{[3]float64{205, 127, 50}, Lab{60.2378, 24.0163, 52.3337}},
		{[3]float64{119, 119, 119}, Lab{50.0344, 0, 0}},
		{[3]float64{255, 255, 255}, Lab{100, 0, 0}},
	} {
		l := Linear{Decode(c.code[0] / 255), Decode(c.code[1] / 255), Decode(c.code[2] / 255)}.Lab()
		if DEab(l, c.want) > 0.02 {
			t.Errorf("%v: %.4f, want %.4f", c.code, l, c.want)
		}
	}
	for v := 0.0; v <= 1; v += 0.01 {
		if l := (Linear{v, v, v}).Lab(); math.Abs(l.A) > 1e-9 || math.Abs(l.B) > 1e-9 {
			t.Fatalf("grey of %g: %v", v, l)
		}
	}
	r := rand.New(rand.NewPCG(5, 2))
	for range 200 {
		c := Linear{r.Float64()*1.2 - 0.1, r.Float64(), r.Float64()}
		d := c.Lab().Linear()
		if math.Abs(d[0]-c[0])+math.Abs(d[1]-c[1])+math.Abs(d[2]-c[2]) > 1e-9 {
			t.Fatalf("%v came back as %v", c, d)
		}
	}
}
