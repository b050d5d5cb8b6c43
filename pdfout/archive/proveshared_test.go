package archive_test

import (
	"bytes"
	"context"
	"errors"
	"testing"
	"time"

	"wornwood/pdfout"
	"wornwood/pdfout/archive"
	"wornwood/pdfout/pdfxtest"
)

// Stamps, proofs, holds, removal, a share of a quarter and a bundle work on a
// shared archive as on a folder, and whoever opens it next sees the same.
func TestProofOnShared(t *testing.T) {
	url, roots := pdfxtest.Stamps(t)
	keeper := newKey(t, "K. Marlow")
	trust := pdfout.VerifyOptions{TSARoots: roots, Known: pdfout.KnownKeys{keeper.Fingerprint(): "Marlow"}}
	onShared(t, func(t *testing.T, dir, where string) {
		now := time.Now()
		opt := archive.Options{Now: func() time.Time { return now }}
		a := reopen(t, dir, opt)
		file(t, a, folderOf(t, 4))
		if _, err := a.Stamp(context.Background(), archive.StampOptions{URL: url}); err != nil {
			t.Fatal(err)
		}
		gone := hash(made()[1])
		must(t, a.Hold("L. Counsel", "a claim is open", gone))
		var back *archive.HeldBackError
		if _, err := a.Remove(removal(gone, keeper)); !errors.As(err, &back) {
			t.Errorf("held: %v", err)
		}
		must(t, a.Release("L. Counsel", "settled", gone))
		if _, err := a.Remove(removal(gone, keeper)); err != nil {
			t.Fatal(err)
		}
		if holding(t, where+"/files", gone) {
			t.Error("something of it is left")
		}
		if r := check(t, a, archive.CheckOptions{Trust: trust}); len(r.Findings) > 0 || r.Reports != 3 || r.Removed != 1 || r.Stamps != 1 {
			t.Errorf("%+v", r)
		}
		now = now.AddDate(0, 0, 45)
		if r := check(t, a, archive.CheckOptions{Trust: trust, Quarter: true}); len(r.Findings) > 0 || r.Read != 3 {
			t.Errorf("the first night: %+v", r)
		}
		must(t, a.Close())
		b := reopen(t, dir, opt)
		now = now.AddDate(0, 0, 20)
		if r := check(t, b, archive.CheckOptions{Trust: trust, Quarter: true}); len(r.Findings) > 0 || r.Read != 3 {
			t.Errorf("twenty nights later: %+v", r)
		}
		p := proofOf(t, b, archive.ProofAsk{Reports: []string{hash(made()[0]), gone}})
		if r := p.Check(archive.ProofTrust{VerifyOptions: trust}); !r.Holds || len(r.Lines) != 3 || r.Lines[0].Stamp == nil {
			t.Errorf("%+v", r)
		}
		var zip bytes.Buffer
		if out, err := b.Bundle(context.Background(), &zip, []string{hash(made()[0])}, archive.BundleOptions{Before: "2030-01-01", Trust: trust}); err != nil || out.Reports != 1 || zip.Len() == 0 {
			t.Errorf("%+v (%v)", out, err)
		}
	})
}
