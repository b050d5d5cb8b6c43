package receive

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/capture/bench"
)

// The dealer's bench takes receipts and countersigned copies back, each once, and
// reads what they say.
func TestTakeBack(t *testing.T) {
	ctx := context.Background()
	b, path := issued(t, 0)
	report, err := os.ReadFile(path)
	must(t, err)
	v := received(t, path)
	to := receipt(t, v)
	c, err := Check(ctx, to, none)
	must(t, err)
	if !CanTake(b, to, c) {
		t.Error("the receipt is not offered")
	}
	if list, err := Answers(ctx, b, v.Of.Number); err != nil || len(list) != 0 {
		t.Errorf("%v %v", list, err)
	}
	done, err := TakeBack(ctx, b, to, none)
	must(t, err)
	if done.Known || done.By != "B. Atherley" || done.Words != "2 differences, 1 new, 1 not checked" || CanTake(b, to, c) {
		t.Errorf("%+v", done)
	}
	if again, err := TakeBack(ctx, b, to, none); err != nil || !again.Known {
		t.Errorf("%+v %v", again, err)
	}
	back := filepath.Join(t.TempDir(), "back.pdf")
	_, err = v.Countersign(ctx, back, buyer(t), receivedAt.AddDate(0, 0, 1), true)
	must(t, err)
	done, err = TakeBack(ctx, b, back, none)
	must(t, err)
	if done.Beside == "" || done.Tally.Differ != 2 {
		t.Errorf("%+v", done)
	}
	list, err := Answers(ctx, b, v.Of.Number)
	must(t, err)
	if len(list) != 2 || list[0].Countersigned || !list[1].Countersigned || list[0].Receipt == nil || list[1].Receipt == nil {
		t.Fatalf("%+v", list)
	}
	if s := list[0].Line(); s != "received with 2 differences, 1 new, 1 not checked by B. Atherley on 2026-11-23" {
		t.Error(s)
	}
	if s := list[1].Line(); s != "countersigned by B. Atherley on 2026-11-24, 2 differences, 1 new, 1 not checked" {
		t.Error(s)
	}
	d := strings.Join(list[0].Details(), "\n")
	for _, want := range []string{"Mark 3 differs: larger than drawn: 14 mm", "Tuners differs: one button is cracked", "New, 8: dent, back, lower bout. 12 mm long", "Not checked: electronics", "Note: The case arrived wet."} {
		if !strings.Contains(d, want) {
			t.Errorf("%q is not in %q", want, d)
		}
	}
	if now, err := os.ReadFile(path); err != nil || !bytes.Equal(now, report) {
		t.Error("the report was touched")
	}
	if found, err := b.Check(ctx, nil); err != nil || len(found) != 0 {
		t.Errorf("%+v %v", found, err)
	}
	damage(t, b, list[0].File)
}

// damage sees that the bench's check names a receipt that is not as it came.
func damage(t *testing.T, b *bench.Bench, rel string) {
	t.Helper()
	p := b.ReportPath(rel)
	must(t, os.Chmod(p, 0o644))
	must(t, os.WriteFile(p, []byte("%PDF-1.7"), 0o644))
	found, err := b.Check(context.Background(), nil)
	if err != nil || len(found) != 1 || !strings.Contains(found[0].Text, "is not the receipt that came back") {
		t.Errorf("%+v %v", found, err)
	}
}

// What is not for this bench, altered, or beside the point is refused with a
// reason and keeps nothing.
func TestTakeBackRefuses(t *testing.T) {
	ctx := context.Background()
	b, path := issued(t, 0)
	other, _ := issued(t, 1)
	v := received(t, path)
	to := receipt(t, v)
	data, err := os.ReadFile(to)
	must(t, err)
	flipped := bytes.Clone(data)
	flipped[len(data)/2] ^= 1
	r, err := v.Finish(receivedAt)
	must(t, err)
	short, far := clone(t, r), clone(t, r)
	short.Checked = short.Checked[1:]
	far.Of.Number = "../../CR-2026-0001"
	spare := func(b []byte) string {
		p := filepath.Join(t.TempDir(), "x.pdf")
		must(t, os.WriteFile(p, b, 0o600))
		return p
	}
	back := filepath.Join(t.TempDir(), "back.pdf")
	_, err = v.Countersign(ctx, back, buyer(t), receivedAt, true)
	must(t, err)
	must(t, os.WriteFile(besideName(back), []byte("{}"), 0o600))
	for name, x := range map[string]struct {
		b          *bench.Bench
		path, want string
	}{
		"altered":           {b, spare(flipped), ""},
		"more behind it":    {b, spare(append(bytes.Clone(data), "more"...)), "does not pass the check"},
		"another bench's":   {other, to, "it is not about the report of this bench"},
		"a mark left out":   {b, spare(forge(t, v, short, short, true)), "it answers for"},
		"a path for number": {b, spare(forge(t, v, far, far, true)), "it is not about the report"},
		"not countersigned": {b, path, "no buyer has countersigned it"},
		"other answers":     {b, back, "has not the digest"},
		"absent":            {b, filepath.Join(t.TempDir(), "none.pdf"), "no such file"},
	} {
		if done, err := TakeBack(ctx, x.b, x.path, none); err == nil || !strings.Contains(err.Error(), x.want) {
			t.Errorf("%s: %+v %v", name, done, err)
		}
	}
	if list, err := b.Received(); err != nil || len(list) != 0 {
		t.Errorf("something was kept: %v %v", list, err)
	}
	// The countersigned copy alone is kept when the odd file is put aside.
	must(t, os.Remove(besideName(back)))
	done, err := TakeBack(ctx, b, back, none)
	if err != nil || done.Beside != "" || !strings.HasPrefix(done.Words, "2 differences") {
		t.Errorf("%+v %v", done, err)
	}
}

// A bench takes so many receipts of a report and no more.
func TestReceiptsAreBounded(t *testing.T) {
	b, path := issued(t, 0)
	const n = "CR-2026-0001"
	for i := range bench.MaxReceipts {
		_, _, err := b.KeepReceipt(n, ".pdf", []byte{byte(i)})
		must(t, err)
	}
	if _, err := TakeBack(context.Background(), b, receipt(t, received(t, path)), none); !errors.Is(err, bench.ErrReceipts) {
		t.Error(err)
	}
	if _, _, err := b.KeepReceipt("CR-2026-0002", ".pdf", []byte("x")); !errors.Is(err, bench.ErrNoSuchReport) {
		t.Error(err)
	}
	if _, _, err := b.KeepReceipt("../x", ".pdf", []byte("x")); err == nil {
		t.Error("a path is taken for a number")
	}
}
