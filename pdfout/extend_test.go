package pdfout

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"wornwood/pdfout/pdfxtest"
	"wornwood/pdfout/reporttest"
	"wornwood/pdfout/sign"
)

func TestExtend(t *testing.T) {
	honest := reporttest.Demo(1)
	report := forgery{honest, nil, mustJSON(t, honest), mustJSON(t, gradeOf(t, honest))}.make(t)
	path := pdfxtest.Write(t, "report.pdf", report)
	to := filepath.Join(t.TempDir(), "longer.pdf")
	url, roots := pdfxtest.Stamps(t)
	did, err := Extend(t.Context(), path, to, ExtendOptions{Now: time.Now(), TimestampURL: url})
	if err != nil {
		t.Fatal(err)
	}
	if did.Revocation || !did.Timestamp || did.Why == "" {
		t.Errorf("%+v", did)
	}
	v, err := Verify(t.Context(), to, VerifyOptions{TSARoots: roots, Now: time.Now()})
	if err != nil || !v.OK || !v.Has(sign.DocumentStamped) || !v.Has(sign.Unaltered) || !v.Has(GradeFollows) {
		t.Errorf("%v %+v", err, v)
	}
	pdfxtest.Check(t, to)
	left, err := filepath.Glob(filepath.Join(filepath.Dir(to), ".wornwood-*"))
	if err != nil || len(left) > 0 {
		t.Errorf("left behind: %v %v", left, err)
	}

	for name, c := range map[string]struct {
		path, to, url, want string
	}{
		"a file that is there":      {path, to, url, "there already"},
		"nothing to add":            {path, to + "2", "", "name a time-stamp authority"},
		"an authority that is away": {path, to + "3", "http://127.0.0.1:1/", "no time-stamp"},
		"no report":                 {filepath.Join(t.TempDir(), "none.pdf"), to + "4", url, "no such file"},
		"an altered report":         {pdfxtest.Write(t, "bad.pdf", append(report[:len(report):len(report)], "x"...)), to + "5", url, "altered"},
	} {
		_, err := Extend(t.Context(), c.path, c.to, ExtendOptions{Now: time.Now(), TimestampURL: c.url})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", name, err)
		}
		if _, err := os.Stat(c.to); err == nil && c.to != to {
			t.Errorf("%s: a file is left", name)
		}
	}
}
