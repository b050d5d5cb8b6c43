package receive

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"wornwood/capture/record"
	"wornwood/icons"
	"wornwood/pdfout"
	"wornwood/pdfout/page"
	"wornwood/pdfout/paint"
	"wornwood/pdfout/pdf"
	"wornwood/pdfout/sign"
)

// Done says what a receiving came to.
type Done struct {
	File    string       `json:"file"`              // the countersigned copy or the receipt
	Beside  string       `json:"beside,omitempty"`  // the answers beside a countersigned copy
	Receipt string       `json:"receipt"`           // SHA-256 of the answers
	Key     string       `json:"key"`               // full fingerprint of the buyer's key
	Tally   record.Tally `json:"tally"`             // what was answered
	Words   string       `json:"words"`             // the tally in a line
	Number  string       `json:"number"`            // of the report
	Known   bool         `json:"known,omitempty"`   // TakeBack: this very file was kept before
	By      string       `json:"by,omitempty"`      // who, as the certificate says
	Claimed *time.Time   `json:"claimed,omitempty"` // when, by the signer's own clock
}

// ErrNotClean says that a report is to be countersigned although something
// differs, is new or was not checked, and that nobody said to do so knowingly.
var ErrNotClean = errors.New("not everything is as described; issue a receipt that says what differs, or countersign knowingly, and the signature will say so")

// Countersign writes a copy of the report with the buyer's signature in the
// field prepared for it, and beside it the answers as NAME-receipt.json, whose
// digest the signature's reason carries. Where not everything was compared and
// found as described it wants knowingly, and the reason says what was found.
// Neither file is ever written over another.
func (v *Receiving) Countersign(ctx context.Context, to string, id *sign.Identity, now time.Time, knowingly bool) (*Done, error) {
	done, err := v.countersign(ctx, to, id, now, knowingly)
	if err != nil {
		return nil, fmt.Errorf("countersign %s: %w", v.Of.Number, err)
	}
	return done, nil
}

func (v *Receiving) countersign(ctx context.Context, to string, id *sign.Identity, now time.Time, knowingly bool) (*Done, error) {
	r, err := v.Finish(now)
	if err != nil {
		return nil, err
	}
	if !r.Tally().Clean() && !knowingly {
		return nil, ErrNotClean
	}
	if v.Verdict.Countersigned {
		return nil, errors.New("the report is countersigned already; issue a receipt instead")
	}
	text, err := Bytes(r)
	if err != nil {
		return nil, err
	}
	digest := sum(text)
	at := now.Format("2 January 2006 15:04 -07:00")
	var out bytes.Buffer
	err = sign.Sign(ctx, bytes.NewReader(v.Data), int64(len(v.Data)), &out, id, sign.SignOptions{
		Field: sign.FieldBuyer, Now: now, Reason: reason(r.Tally(), digest), Font: icons.Font("sans"),
		Appearance: []string{pdfout.SignerOf(id).Name, "Countersigned " + at + ", by the signer's own clock", capital(r.Tally().Words()), "Key " + id.Fingerprint().Short() + " …"},
	})
	if err != nil {
		return nil, err
	}
	check, err := pdfout.VerifyReader(ctx, bytes.NewReader(out.Bytes()), int64(out.Len()), pdfout.VerifyOptions{})
	if err != nil {
		return nil, err
	}
	if !check.OK || !check.Countersigned {
		return nil, fmt.Errorf("the countersigned copy does not pass its own check and was not kept: %s", check.Worst())
	}
	beside := besideName(to)
	if err := writeNew(beside, text); err != nil {
		return nil, err
	}
	if err := writeNew(to, out.Bytes()); err != nil {
		return nil, errors.Join(err, os.Remove(beside))
	}
	return &Done{File: to, Beside: beside, Receipt: digest, Key: string(id.Fingerprint()), Tally: r.Tally(), Words: r.Tally().Words(), Number: v.Of.Number, By: pdfout.SignerOf(id).Name, Claimed: &r.At}, nil
}

// besideName is where the answers lie that belong to a countersigned copy.
func besideName(pdf string) string {
	return strings.TrimSuffix(pdf, filepath.Ext(pdf)) + "-receipt.json"
}

// reason is what a countersignature says it was given for. Its digest names the
// answers beside the file.
func reason(t record.Tally, digest string) string {
	s := "Received and compared with the instrument: all as described."
	if !t.Clean() {
		s = "Received and compared with the instrument: " + t.Words() + "."
	}
	return s + reasonDigest + digest
}

const reasonDigest = " Answers, sha-256 "

// digestOf is the digest that the reason of a countersignature names, "" for
// none.
func digestOf(reason string) string {
	_, d, ok := strings.Cut(reason, reasonDigest)
	if !ok || len(d) != 64 || strings.Trim(d, "0123456789abcdef") != "" {
		return ""
	}
	return d
}

// Issue builds the receipt as a PDF of its own, signs it, checks it as a
// stranger would, and writes it to a new file.
func (v *Receiving) Issue(ctx context.Context, to, paper string, id *sign.Identity, now time.Time) (*Done, error) {
	done, err := v.issue(ctx, to, paper, id, now)
	if err != nil {
		return nil, fmt.Errorf("issue receipt for %s: %w", v.Of.Number, err)
	}
	return done, nil
}

func (v *Receiving) issue(ctx context.Context, to, paper string, id *sign.Identity, now time.Time) (*Done, error) {
	r, err := v.Finish(now)
	if err != nil {
		return nil, err
	}
	plain, text, err := v.build(ctx, r, paper, pdfout.SignerOf(id), now, false)
	if err != nil {
		return nil, err
	}
	at := now.Format("2 January 2006 15:04 -07:00")
	var signed bytes.Buffer
	err = sign.Sign(ctx, bytes.NewReader(plain), int64(len(plain)), &signed, id, sign.SignOptions{
		Field: sign.FieldExaminer, Now: now, Reason: "Receipt issued: " + r.Tally().Words(), Font: icons.Font("sans"),
		Appearance: []string{pdfout.SignerOf(id).Name, "Signed " + at + ", by the signer's own clock", "Key " + id.Fingerprint().Short() + " …"},
	})
	if err != nil {
		return nil, err
	}
	check, err := CheckData(ctx, signed.Bytes(), pdfout.VerifyOptions{})
	if err != nil {
		return nil, err
	}
	if !check.OK || check.Hash != sum(text) {
		return nil, fmt.Errorf("the receipt does not pass its own check and was not kept: %s", check.Worst())
	}
	if err := writeNew(to, signed.Bytes()); err != nil {
		return nil, err
	}
	return &Done{File: to, Receipt: check.Hash, Key: string(id.Fingerprint()), Tally: r.Tally(), Words: r.Tally().Words(), Number: v.Of.Number, By: pdfout.SignerOf(id).Name, Claimed: &r.At}, nil
}

// build draws the unsigned receipt in archival form. probe makes a variant for
// validators of PDF/A-1b, never to be issued.
func (v *Receiving) build(ctx context.Context, r *record.Receipt, paper string, who pdfout.Signer, now time.Time, probe bool) (plain, text []byte, err error) {
	if text, err = Bytes(r); err != nil {
		return nil, nil, err
	}
	d, laid, err := v.draw(ctx, r, sum(text), paper, who, now)
	if err != nil {
		return nil, nil, err
	}
	plain, err = assemble(d, laid, r, text, now, probe)
	return plain, text, err
}

func (v *Receiving) draw(ctx context.Context, r *record.Receipt, hash, paper string, who pdfout.Signer, now time.Time) (*paint.Doc, *page.Laid, error) {
	wide, tall, err := page.Size(paper)
	if err != nil {
		return nil, nil, err
	}
	d, err := paint.New(paint.Options{Width: wide, Height: tall, Title: titleOf(r), Created: now.UTC()})
	if err != nil {
		return nil, nil, err
	}
	laid, err := page.LayReceipt(ctx, d, &page.Receipt{Receipt: r, Hash: hash, Record: v.Record, Rubric: v.Rubric, Drawing: v.Drawing, Photo: v.Photo, Paper: paper, Signer: who})
	return d, laid, err
}

// assemble puts the pages and the attached text together.
func assemble(d *paint.Doc, laid *page.Laid, r *record.Receipt, text []byte, now time.Time, probe bool) ([]byte, error) {
	pages, err := d.Bytes()
	if err != nil {
		return nil, err
	}
	opt := pdf.Options{Title: titleOf(r), Author: r.By, Subject: "Instrument received " + r.At.Format("2 January 2006"), Producer: "Wornwood", Created: now, Lang: "en-GB", Probe: probe}
	if !probe {
		opt.Structure, opt.Fields = d.Structure(), laid.Fields
		opt.Attachments = []pdf.Attachment{{Name: Name, MediaType: "application/json", Relationship: "Source", Modified: now, Data: text, Description: "The answers of the receipt, schema " + record.ReceiptSchema}}
	}
	var small, whole bytes.Buffer
	if err := pdf.Rewrite(&small, pages, opt); err != nil {
		return nil, err
	}
	if err := d.Finish(&whole, small.Bytes()); err != nil {
		return nil, err
	}
	return whole.Bytes(), nil
}

func titleOf(r *record.Receipt) string {
	return "Receipt for report " + r.Of.Number + ": " + r.Of.Title
}

// writeNew writes a whole file under a name that is not taken.
func writeNew(path string, data []byte) error {
	if _, err := os.Lstat(path); err == nil {
		return fmt.Errorf("%s is there already; give a new file", filepath.Base(path))
	}
	f, err := os.CreateTemp(filepath.Dir(path), ".wornwood-receive-")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	_, err = f.Write(data)
	if err = errors.Join(err, f.Chmod(0o644), f.Sync(), f.Close()); err != nil {
		return err
	}
	// A link fails where the name was taken meanwhile; renaming would replace it.
	return os.Link(f.Name(), path)
}
