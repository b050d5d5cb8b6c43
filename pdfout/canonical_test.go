package pdfout

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/gowebpki/jcs"

	"wornwood/pdfout/pdfxtest"
	"wornwood/pdfout/reporttest"
)

// numbers are the samples of RFC 8785, appendix B: the bits of a double and its
// one spelling. (From memory of the RFC; the second canonicaliser below shares
// none of that memory.)
var numbers = map[uint64]string{
	0x0000000000000000: "0", 0x8000000000000000: "0", 0x0000000000000001: "5e-324", 0x8000000000000001: "-5e-324",
	0x7fefffffffffffff: "1.7976931348623157e+308", 0xffefffffffffffff: "-1.7976931348623157e+308", 0x4340000000000000: "9007199254740992",
	0xc340000000000000: "-9007199254740992", 0x4430000000000000: "295147905179352830000", 0x44b52d02c7e14af5: "9.999999999999997e+22",
	0x44b52d02c7e14af6: "1e+23", 0x44b52d02c7e14af7: "1.0000000000000001e+23", 0x444b1ae4d6e2ef4e: "999999999999999700000",
	0x444b1ae4d6e2ef4f: "999999999999999900000", 0x444b1ae4d6e2ef50: "1e+21", 0x3eb0c6f7a0b5ed8c: "9.999999999999997e-7", 0x3eb0c6f7a0b5ed8d: "0.000001",
	0x41b3de4355555553: "333333333.3333332", 0x41b3de4355555554: "333333333.33333325", 0x41b3de4355555555: "333333333.3333333",
	0x41b3de4355555556: "333333333.3333334", 0x41b3de4355555557: "333333333.33333343", 0xbecbf647612f3696: "-0.0000033333333333333333", 0x43143ff3c1cb0959: "1424953923781206.2",
}

// vectors are the samples of RFC 8785, 3.2.2 and 3.2.3, with their one spelling.
var vectors = [][2]string{
	{`{"numbers":[333333333.33333329,1E30,4.50,2e-3,0.000000000000000000000000001],"string":"\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/","literals":[null,true,false]}`,
		`{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\u000f\nA'B\"\\\\\"/"}`},
	{`{"\u20ac":"Euro Sign","\r":"Carriage Return","\ufb33":"Hebrew Letter Dalet With Dagesh","1":"One","\ud83d\ude00":"Emoji: Grinning Face","\u0080":"Control","\u00f6":"Latin Small Letter O With Diaeresis"}`,
		"{\"\\r\":\"Carriage Return\",\"1\":\"One\",\"\u0080\":\"Control\",\"ö\":\"Latin Small Letter O With Diaeresis\",\"€\":\"Euro Sign\",\"😀\":\"Emoji: Grinning Face\",\"\ufb33\":\"Hebrew Letter Dalet With Dagesh\"}"},
}

// canonicalize is a canonicaliser in another language by another author
// (npm canonicalize 2.1.0, Apache-2.0).
const (
	canonicalizer          = "canonicalize@2.1.0"
	canonicalizerIntegrity = "F705O3xrsUtgt98j7leetNhTWPe+5S72rlL5O4jA1pKqBVQ/dT1O1D6PFxmSXvc0SUOinWS57DKx0I3CHrXJHQ=="
)

// The canonical form of the published samples, of numbers of every kind and of
// records and grades is the one that another program gives as well.
func TestCanonicalOutside(t *testing.T) {
	var in []string
	for bits, want := range numbers {
		// Written with all its digits, so that reading it loses nothing.
		text := fmt.Sprintf("[%.17g]", math.Float64frombits(bits))
		got, err := jcs.Transform([]byte(text))
		if err != nil || string(got) != "["+want+"]" {
			t.Errorf("%016x is written %s, the RFC has %s (%v)", bits, got, want, err)
		}
		in = append(in, text)
	}
	for _, v := range vectors {
		got, err := jcs.Transform([]byte(v[0]))
		if err != nil || string(got) != v[1] {
			t.Errorf("%s becomes\n%s, the RFC has\n%s (%v)", v[0], got, v[1], err)
		}
		in = append(in, v[0])
	}
	for i := range 200 {
		r := reporttest.Many(i, i%7)
		r.Instrument.Mass, r.Instrument.ScaleLength = math.Pow(1.37, float64(i-100)), float64(i)/3
		r.Instrument.Model = string([]rune{rune(i * 97), '\u2028', '"', '\\', rune(0x1F600 + i), rune(0xE000 + i)})
		for _, v := range []any{r, gradeOf(t, reporttest.Many(i%40, 0))} {
			b, err := json.Marshal(v)
			if err != nil {
				t.Fatal(err)
			}
			in = append(in, string(b))
		}
	}
	dir := pdfxtest.NPM(t, canonicalizer, canonicalizerIntegrity)
	list, err := json.Marshal(in)
	if err != nil {
		t.Fatal(err)
	}
	file := pdfxtest.Write(t, "in.json", list)
	script := pdfxtest.Write(t, "run.mjs", []byte(`import { readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
const canonicalize = createRequire(import.meta.url)(process.argv[2]);
const texts = JSON.parse(readFileSync(process.argv[3], "utf8"));
writeFileSync(process.argv[4], JSON.stringify(texts.map((s) => (canonicalize.default ?? canonicalize)(JSON.parse(s)))));
`))
	to := filepath.Join(t.TempDir(), "out.json")
	pdfxtest.Output(t, "node", script, filepath.Join(dir, "package"), file, to)
	data, err := os.ReadFile(to)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	if err := json.Unmarshal(data, &out); err != nil || len(out) != len(in) || len(in) < 400 {
		t.Fatalf("%v, %d of %d texts", err, len(out), len(in))
	}
	for i := range in {
		ours, err := jcs.Transform([]byte(in[i]))
		if err != nil || !bytes.Equal(ours, []byte(out[i])) {
			t.Errorf("%.80s: we write\n%.200s, the other\n%.200s (%v)", in[i], ours, out[i], err)
		}
	}
	if strings.Contains(strings.Join(out, ""), "undefined") {
		t.Error("the other program has lost a value")
	}
}
