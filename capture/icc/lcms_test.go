package icc

import (
	"bufio"
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// The outside reference is Little CMS through its command transicc (Debian
// package liblcms2-utils), on profiles of our making and on those that Debian
// brings (packages icc-profiles-free and colord-data).

// transicc converts colours, channels 0..255, relative to white, unbounded and
// without pre-computed tables.
func transicc(t *testing.T, profile, to string, colours [][3]float64, gray bool) [][3]float64 {
	t.Helper()
	path, err := exec.LookPath("transicc")
	if err != nil {
		t.Fatalf("transicc (Debian package liblcms2-utils) is needed for this check: %v", err)
	}
	var in, out, fault bytes.Buffer
	for _, c := range colours {
		if gray {
			fmt.Fprintf(&in, "%.9f\n", c[0])
		} else {
			fmt.Fprintf(&in, "%.9f %.9f %.9f\n", c[0], c[1], c[2])
		}
	}
	cmd := exec.Command(path, "-n", "-t1", "-c0", "-i", profile, "-o", to)
	cmd.Stdin, cmd.Stdout, cmd.Stderr = &in, &out, &fault
	if err := cmd.Run(); err != nil {
		t.Fatalf("transicc %s: %v\n%s", profile, err, fault.Bytes())
	}
	var got [][3]float64
	for s := bufio.NewScanner(&out); s.Scan(); {
		var v [3]float64
		if n, _ := fmt.Sscan(s.Text(), &v[0], &v[1], &v[2]); n == 3 {
			got = append(got, v)
		}
	}
	if len(got) != len(colours) {
		t.Fatalf("transicc %s: %d answers to %d colours\n%s", profile, len(got), len(colours), fault.Bytes())
	}
	return got
}

func randomColours(n int, gray bool) [][3]float64 {
	r := rand.New(rand.NewPCG(7, uint64(n)))
	out := make([][3]float64, n)
	for i := range out {
		for c := range 3 {
			out[i][c] = 255 * r.Float64()
		}
		if gray {
			out[i][1], out[i][2] = out[i][0], out[i][0]
		}
	}
	return append(out, [3]float64{}, [3]float64{255, 255, 255})
}

// cielab is written out here so that the check does not lean on other packages.
func cielab(v, white [3]float64) (lab [3]float64) {
	f := func(t float64) float64 {
		if t > math.Pow(6.0/29, 3) {
			return math.Cbrt(t)
		}
		return 841.0/108*t + 4.0/29
	}
	x, y, z := f(v[0]/white[0]), f(v[1]/white[1]), f(v[2]/white[2])
	return [3]float64{116*y - 16, 500 * (x - y), 200 * (y - z)}
}

func apart(a, b [3]float64) float64 {
	return math.Sqrt((a[0]-b[0])*(a[0]-b[0]) + (a[1]-b[1])*(a[1]-b[1]) + (a[2]-b[2])*(a[2]-b[2]))
}

// linear undoes the transfer of sRGB, continued below 0 as Little CMS does.
func linear(v float64) float64 {
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

// checkAgainstLittleCMS compares the connection space (Lab at D50) and the way
// on to sRGB (Lab at D65 of colours that sRGB can show) and returns the largest
// differences.
func checkAgainstLittleCMS(t *testing.T, file string) (pcs, srgb float64) {
	t.Helper()
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v; the Debian packages icc-profiles-free and colord-data are needed for this check", err)
	}
	p, err := Parse(raw)
	if err != nil {
		t.Errorf("%s: %v", file, err)
		return 0, 0
	}
	colours := randomColours(300, p.Gray())
	lab := transicc(t, file, "*Lab", colours, p.Gray())
	rgb := transicc(t, file, "*sRGB", colours, p.Gray())
	inside := 0
	for i, c := range colours {
		var xyz, got, want [3]float64
		xyz[0], xyz[1], xyz[2] = p.ToXYZ(c[0]/255, c[1]/255, c[2]/255)
		pcs = max(pcs, apart(cielab(xyz, d50), lab[i]))

		r := rgb[i]
		if min(r[0], r[1], r[2]) < 0 || max(r[0], r[1], r[2]) > 255.5 {
			continue
		}
		inside++
		got[0], got[1], got[2] = LinearToXYZ(p.ToLinearSRGB(c[0]/255, c[1]/255, c[2]/255))
		want[0], want[1], want[2] = LinearToXYZ(linear(r[0]/255), linear(r[1]/255), linear(r[2]/255))
		srgb = max(srgb, apart(cielab(got, sRGBWhite), cielab(want, sRGBWhite)))
	}
	if inside < 20 {
		t.Errorf("%s: only %d of %d colours were inside sRGB", file, inside, len(colours))
	}
	return pcs, srgb
}

func TestBuiltProfilesAgainstLittleCMS(t *testing.T) {
	dir := t.TempDir()
	for name, raw := range builtProfiles(t) {
		file := filepath.Join(dir, name)
		if err := os.WriteFile(file, raw, 0o644); err != nil {
			t.Fatal(err)
		}
		pcs, srgb := checkAgainstLittleCMS(t, file)
		t.Logf("%-14s Lab %.4f, to sRGB %.4f", name, pcs, srgb)
		if pcs > 0.1 || srgb > 0.1 {
			t.Errorf("%s: %.3f from Little CMS in Lab, %.3f on the way to sRGB", name, pcs, srgb)
		}
	}
}

func TestInstalledProfilesAgainstLittleCMS(t *testing.T) {
	const dir = "/usr/share/color/icc/"
	files := []string{"sRGB.icc", "compatibleWithAdobeRGB1998.icc", "LStar-RGB.icc", "CineonLog_M_Knee_30.icc", "Gray.icc", "Gray-CIE_L.icc",
		"colord/sRGB.icc", "colord/AdobeRGB1998.icc", "colord/ProPhotoRGB.icc", "colord/ECI-RGBv2.icc", "colord/Rec709.icc", "colord/AppleRGB.icc",
		"colord/NTSC-RGB.icc", "colord/WideGamutRGB.icc", "colord/SwappedRedAndGreen.icc", "colord/Bluish.icc"}
	for _, f := range files {
		pcs, srgb := checkAgainstLittleCMS(t, dir+f)
		t.Logf("%-32s Lab %.4f, to sRGB %.4f", f, pcs, srgb)
		if pcs > 0.1 || srgb > 0.1 {
			t.Errorf("%s: %.3f from Little CMS in Lab, %.3f on the way to sRGB", f, pcs, srgb)
		}
	}
	for _, f := range []string{"ITULab.icc", "CineLogCurve.icc", "colord/Crayons.icc"} {
		raw, err := os.ReadFile(dir + f)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Parse(raw); err != ErrKind {
			t.Errorf("%s: %v, want it refused by its kind", f, err)
		}
	}
}
