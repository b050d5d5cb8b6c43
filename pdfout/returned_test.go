package pdfout

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/capture/bench"
	"wornwood/pdfout/sign"
)

// returned writes a countersigned copy of a report to a file of its own.
func returned(t *testing.T, report string, buyer *sign.Identity) (path string, data []byte) {
	t.Helper()
	in, err := os.ReadFile(report)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := Countersign(context.Background(), bytes.NewReader(in), int64(len(in)), &out, buyer, issuedAt.AddDate(0, 0, 9)); err != nil {
		t.Fatal(err)
	}
	return spare(t, out.Bytes()), out.Bytes()
}

func spare(t *testing.T, data []byte) string {
	t.Helper()
	p := filepath.Join(t.TempDir(), "came back.pdf")
	if err := os.WriteFile(p, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return p
}

func buyer(t *testing.T, name string) *sign.Identity {
	t.Helper()
	id, err := sign.NewKey(sign.Subject{Name: name}, issuedAt, rnd{})
	if err != nil {
		t.Fatal(err)
	}
	return id
}

// A countersigned copy is kept beside its report, once, and what is no such copy
// is refused with a reason and keeps nothing.
func TestTakeBack(t *testing.T) {
	b, ex := desk(t, 0)
	is := issue(t, b, ex)
	report, err := os.ReadFile(is.Path)
	if err != nil {
		t.Fatal(err)
	}
	path, data := returned(t, is.Path, buyer(t, "A. Buyer"))
	flipped := bytes.Clone(data)
	flipped[len(report)/2] ^= 1
	other, otherExam := desk(t, 0)
	foreign, _ := returned(t, issue(t, other, otherExam).Path, buyer(t, "A. Buyer"))
	for name, x := range map[string]struct{ path, want string }{
		"not countersigned": {is.Path, "no buyer has countersigned it"},
		"altered":           {spare(t, flipped), "does not pass the check"},
		"more behind it":    {spare(t, append(bytes.Clone(data), "more"...)), "does not pass the check"},
		"cut off":           {spare(t, data[:len(data)-200]), "take back report"},
		"no report":         {spare(t, []byte("%PDF-1.7\n")), "does not pass the check"},
		"absent":            {filepath.Join(t.TempDir(), "none.pdf"), "no such file"},
		"a folder":          {t.TempDir(), "is not a file"},
		// Another bench's report of the same number is whole and countersigned,
		// but its bytes are not those issued here.
		"another bench's": {foreign, "is not the report as it was issued here"},
	} {
		if r, err := TakeBack(context.Background(), b, x.path, VerifyOptions{}); err == nil || !strings.Contains(err.Error(), x.want) {
			t.Errorf("%s: %+v, %v", name, r, err)
		}
	}
	if _, ok := b.Countersigned(is.Number); ok {
		t.Error("something was kept")
	}
	v, err := Verify(context.Background(), path, VerifyOptions{})
	if err != nil || !CanReturn(b, v) {
		t.Errorf("the copy is not offered: %v", err)
	}
	if own, err := Verify(context.Background(), is.Path, VerifyOptions{}); err != nil || CanReturn(b, own) {
		t.Errorf("the report itself is offered: %v", err)
	}
	r, err := TakeBack(context.Background(), b, path, VerifyOptions{})
	if err != nil || r.Number != is.Number || r.By != "A. Buyer" || r.Key == "" || r.Known || r.File != "reports/"+is.Number+"-countersigned.pdf" {
		t.Fatalf("%+v %v", r, err)
	}
	if got, err := os.ReadFile(b.ReportPath(r.File)); err != nil || !bytes.Equal(got, data) {
		t.Errorf("another file was kept: %v", err)
	}
	if got, err := os.ReadFile(is.Path); err != nil || !bytes.Equal(got, report) {
		t.Errorf("the report was touched: %v", err)
	}
	if r, err = TakeBack(context.Background(), b, path, VerifyOptions{}); err != nil || !r.Known || CanReturn(b, v) {
		t.Errorf("the same again: %+v %v", r, err)
	}
	second, _ := returned(t, is.Path, buyer(t, "Another Buyer"))
	if _, err = TakeBack(context.Background(), b, second, VerifyOptions{}); !errors.Is(err, bench.ErrCountersigned) {
		t.Errorf("another copy: %v", err)
	}
	if found, err := b.Check(context.Background(), nil); err != nil || len(found) != 0 {
		t.Errorf("the bench is not whole: %+v %v", found, err)
	}
}

// A bench that issued no report of that number says which bench is wanted.
func TestTakeBackElsewhere(t *testing.T) {
	b, ex := desk(t, 0)
	path, _ := returned(t, issue(t, b, ex).Path, buyer(t, "A. Buyer"))
	empty, _ := desk(t, 0)
	if _, err := TakeBack(context.Background(), empty, path, VerifyOptions{}); !errors.Is(err, bench.ErrNoSuchReport) || !strings.Contains(err.Error(), "CR-2026-0001") {
		t.Error(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := TakeBack(ctx, b, path, VerifyOptions{}); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}
