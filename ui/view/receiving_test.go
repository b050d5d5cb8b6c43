package view

import (
	"bytes"
	"context"
	"crypto/rand"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"wornwood/capture/record"
	"wornwood/pdfout"
	"wornwood/pdfout/receive"
	"wornwood/pdfout/reporttest"
	"wornwood/pdfout/sign"
)

// receivingOf is the model on a report of the demo record, signed.
func receivingOf(t *testing.T) (*Receiving, string) {
	t.Helper()
	at := time.Date(2026, 11, 14, 16, 5, 0, 0, reporttest.Zone)
	id, err := sign.NewKey(sign.Subject{Name: "R. Calloway"}, at, rand.Reader)
	var plain, signed bytes.Buffer
	if err == nil {
		_, err = pdfout.Build(context.Background(), pdfout.Input{Record: reporttest.Demo(2), Photos: &reporttest.Photos{}, Created: at, Signer: pdfout.SignerOf(id)}, &plain, nil)
	}
	if err == nil {
		err = sign.Sign(context.Background(), bytes.NewReader(plain.Bytes()), int64(plain.Len()), &signed, id, sign.SignOptions{Field: sign.FieldExaminer, Now: at})
	}
	dir := t.TempDir()
	path := filepath.Join(dir, "report.pdf")
	if err == nil {
		err = os.WriteFile(path, signed.Bytes(), 0o600)
	}
	var v *receive.Receiving
	if err == nil {
		v, err = receive.Open(context.Background(), path, filepath.Join(dir, "config"), pdfout.VerifyOptions{})
	}
	var pics map[string][]byte
	if err == nil {
		pics, err = v.Pictures()
	}
	if err != nil {
		t.Fatal(err)
	}
	return NewReceiving(v, filepath.Join(dir, "config"), pics), dir
}

func done(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// Rows, answers and what is still asked for, in the order of the report.
func TestReceivingRows(t *testing.T) {
	m, _ := receivingOf(t)
	rows := m.Rows()
	if rows[0].Label != "Mark 1" || rows[7].Label != "Front finish" || rows[7].Says != "Original" || rows[0].Answer != record.NotChecked {
		t.Fatalf("%+v", rows[:8])
	}
	done(t, m.Answer(record.Differs))
	if m.Lacks() != "Mark 1: say how it differs." {
		t.Error(m.Lacks())
	}
	done(t, m.SetNote("larger"))
	done(t, m.Answer(record.AsDescribed))
	done(t, m.Answer(record.Differs))
	if c := m.Entry(); c.Note != "larger" || m.Lacks() != "" {
		t.Errorf("the words were lost: %+v", c)
	}
	m.Select(1)
	done(t, m.SetNote("words make a difference of what nobody answered"))
	if m.Entry().Answer != record.Differs {
		t.Error("no difference")
	}
	if m.Next(); m.Selected() != 2 {
		t.Errorf("next is %d", m.Selected())
	}
	done(t, m.Rest())
	if m.Next(); m.Selected() != 2 || m.Clean() {
		t.Errorf("next is %d, clean %v", m.Selected(), m.Clean())
	}
	if m.Progress() != "19 of 19 checked, 2 differences" {
		t.Error(m.Progress())
	}
	for _, i := range []int{0, 1} {
		m.Select(i)
		done(t, m.Answer(record.AsDescribed))
	}
	if !m.Clean() || m.Found() != "All as described" {
		t.Error(m.Found())
	}
}

// What is new gets its kind by the first letters, its place by a click.
func TestReceivingNew(t *testing.T) {
	m, dir := receivingOf(t)
	done(t, m.Pin(record.Point{X: 20, Y: 640})) // nothing new is chosen: it adds one
	n := m.New()
	if n == nil || n.Number != 8 || n.At == nil || n.Place == "" || m.Number() != 8 {
		t.Fatalf("%+v", n)
	}
	first := n.Place
	done(t, m.Pin(record.Point{X: 0, Y: 300}))
	if m.New().Place == first {
		t.Error("the words do not follow the pin")
	}
	done(t, m.SetPlace("where the strap hangs"))
	done(t, m.Pin(record.Point{X: 20, Y: 640}))
	if m.New().Place != "where the strap hangs" {
		t.Error("a click replaced the typed place")
	}
	if m.Lacks() != "New 8: say what it is." {
		t.Error(m.Lacks())
	}
	for typed, want := range map[string]record.Kind{"den": "dent", "Open seam": "open seam", "stain of tea": "stain of tea"} {
		if done(t, m.SetKind(typed)); m.New().Kind != want {
			t.Errorf("%q is %q", typed, m.New().Kind)
		}
	}
	if list := m.Marks(); len(list) != 8 || len(list[7].On) != 1 {
		t.Errorf("%d marks", len(list))
	}
	if err := m.AddPhoto(filepath.Join(dir, "report.pdf")); err == nil {
		t.Error("a PDF is taken for a photo")
	}
	photos := len(m.Photos())
	data, err := (&reporttest.Photos{}).OriginalBytes("new")
	done(t, err)
	p := filepath.Join(dir, "DSC_1.JPG")
	done(t, os.WriteFile(p, data, 0o600))
	done(t, m.AddPhoto(p))
	if len(m.Photos()) != photos+1 || m.Photo() != m.New().Photos[0] || !strings.HasSuffix(m.PhotoLine(), "yours") {
		t.Errorf("%s", m.PhotoLine())
	}
	m.SelectNumber(3)
	if m.Number() != 3 || m.Entry() == nil {
		t.Error("mark 3 is not chosen")
	}
	m.SelectNumber(8)
	done(t, m.RemoveNew())
	if m.New() != nil || len(m.Marks()) != 7 {
		t.Error("it is still there")
	}
}

// What keeps a receiving from being signed is said before anything is made.
func TestReceivingSigning(t *testing.T) {
	m, dir := receivingOf(t)
	long := "moss and walnut"
	for want, x := range map[string][4]string{
		"Say who receives the instrument.":                       {" ", long, long, "x.pdf"},
		"Type the passphrase of your signing key.":               {"B. Atherley", "", "", "x.pdf"},
		"A new key needs a passphrase of 12 characters or more.": {"B. Atherley", "short", "short", "x.pdf"},
		"The two passphrases differ.":                            {"B. Atherley", long, long + "!", "x.pdf"},
		"Say which file to write.":                               {"B. Atherley", long, long, ""},
		"":                                                       {"B. Atherley", long, long, "x.pdf"},
	} {
		if got := m.CheckSigning(x[0], x[1], x[2], x[3]); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	done(t, m.SetAbout("B. Atherley", "Hollin Bank", ""))
	done(t, m.Rest())
	d, err := m.Sign(context.Background(), true, m.FileFor(true), long, time.Date(2026, 11, 23, 9, 0, 0, 0, time.UTC))
	done(t, err)
	if d.File != filepath.Join(dir, "report-countersigned.pdf") || m.FirstKey() {
		t.Errorf("%+v", d)
	}
	if _, err := m.Sign(context.Background(), false, m.FileFor(false), "another passphrase", time.Date(2026, 11, 23, 9, 0, 0, 0, time.UTC)); err == nil {
		t.Error("signed with another passphrase")
	}
}
