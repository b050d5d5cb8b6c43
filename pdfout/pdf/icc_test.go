package pdf

import (
	"encoding/binary"
	"math"
	"testing"
)

// The colorants of sRGB adapted to D50 as the ICC publishes them in its
// profiles (color.org, "sRGB profiles": rXYZ 0.4360 0.2225 0.0139, gXYZ 0.3851
// 0.7169 0.0971, bXYZ 0.1431 0.0606 0.7139).
func TestColorantsAgreeWithThePublished(t *testing.T) {
	r, g, b := sRGBColorants()
	want := [3][3]float64{{0.4360, 0.2225, 0.0139}, {0.3851, 0.7169, 0.0971}, {0.1431, 0.0606, 0.7139}}
	for i, got := range [3][3]float64{r, g, b} {
		for k := range 3 {
			if math.Abs(got[k]-want[i][k]) > 3e-4 {
				t.Errorf("colorant %d: %v, published %v", i, got, want[i])
			}
		}
	}
	for k := range 3 {
		if sum := r[k] + g[k] + b[k]; math.Abs(sum-d50[k]) > 1e-9 {
			t.Errorf("white component %d is %g, not %g", k, sum, d50[k])
		}
	}
}

// Values of the transfer function worked out by hand from IEC 61966-2-1:
// 0.5 gives ((0.5+0.055)/1.055)^2.4 = 0.21404; code 10 of 255 lies on the
// straight part, 10/255/12.92 = 0.0030353.
func TestTransferFunction(t *testing.T) {
	for v, want := range map[float64]float64{0: 0, 1: 1, 0.5: 0.21404, 10.0 / 255: 0.0030353} {
		if got := sRGBLinear(v); math.Abs(got-want) > 1e-5 {
			t.Errorf("%g gives %g, not %g", v, got, want)
		}
	}
}

// The layout of ICC.1:2001-04, clauses 6.1 and 6.2.
func TestProfileLayout(t *testing.T) {
	p := sRGBProfile()
	if int(binary.BigEndian.Uint32(p)) != len(p) || string(p[36:40]) != "acsp" || string(p[12:24]) != "mntrRGB XYZ " {
		t.Fatalf("header %q", p[:48])
	}
	n := int(binary.BigEndian.Uint32(p[128:]))
	found := map[string]bool{}
	for i := range n {
		row := p[132+12*i:]
		off, size := int(binary.BigEndian.Uint32(row[4:])), int(binary.BigEndian.Uint32(row[8:]))
		if off%4 != 0 || off < 132+12*n || off+size > len(p) {
			t.Errorf("tag %q at %d, %d bytes", row[:4], off, size)
		}
		found[string(row[:4])] = true
	}
	// The tags that 6.3.1.2 wants of a display profile with three colorants.
	for _, tag := range []string{"desc", "cprt", "wtpt", "rXYZ", "gXYZ", "bXYZ", "rTRC", "gTRC", "bTRC"} {
		if !found[tag] {
			t.Errorf("tag %s is missing", tag)
		}
	}
}
