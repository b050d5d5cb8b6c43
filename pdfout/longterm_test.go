package pdfout

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"wornwood/capture/bench"
	"wornwood/pdfout/pdfxtest"
	"wornwood/pdfout/sign"
)

// nothingIssued sees that a refused issue left no report and no number.
func nothingIssued(t *testing.T, b *bench.Bench, ex *bench.Exam) {
	t.Helper()
	list, err := os.ReadDir(filepath.Dir(b.ReportPath("reports/x")))
	if _, frozen := ex.Issued(); err != nil || len(list) != 0 || frozen {
		t.Errorf("left behind: %v, frozen %v, %v", list, frozen, err)
	}
}

// TestIssueLongTerm issues with a certificate of an authority that OpenSSL
// plays: its statements are inside and judged without asking anybody; where it
// is silent, or says that the certificate was revoked, nothing is issued.
func TestIssueLongTerm(t *testing.T) {
	a := pdfxtest.NewAuthority(t)
	stamps, stampRoots := pdfxtest.Stamps(t)
	identity := func(name, section string) *sign.Identity {
		t.Helper()
		id, err := sign.LoadIdentity(a.Issue(name, section, "/CN=Anselm Tarry", "2020-2048", filePhrase), filePhrase)
		if err != nil {
			t.Fatal(err)
		}
		return id
	}
	now := time.Now()
	b, ex := desk(t, 0)
	id := identity("tarry", "both")
	opt := IssueOptions{Now: now, LongTerm: true, TimestampURL: stamps}

	a.Down = true
	if _, err := Issue(t.Context(), b, ex, id, opt, nil); !errors.Is(err, sign.ErrRevocation) || !strings.Contains(err.Error(), "503") {
		t.Errorf("silent: %v", err)
	}
	nothingIssued(t, b, ex)
	a.Down = false
	alone := *id
	alone.Chain = nil
	if _, err := Issue(t.Context(), b, ex, &alone, opt, nil); !errors.Is(err, sign.ErrRevocation) || !strings.Contains(err.Error(), "whole chain") {
		t.Errorf("without its authority's certificate: %v", err)
	}
	gone := identity("gone", "list")
	a.Revoke("gone")
	if _, err := Issue(t.Context(), b, ex, gone, opt, nil); err == nil || !strings.Contains(err.Error(), "revoked the certificate") {
		t.Errorf("revoked: %v", err)
	}
	late := opt
	late.Now = now.AddDate(40, 0, 0)
	if _, err := Issue(t.Context(), b, ex, id, late, nil); !errors.Is(err, sign.ErrExpired) {
		t.Errorf("expired: %v", err)
	}
	away := opt
	away.TimestampURL = "http://127.0.0.1:1/"
	if _, err := Issue(t.Context(), b, ex, id, away, nil); !errors.Is(err, sign.ErrTimestamp) {
		t.Errorf("no time-stamp: %v", err)
	}
	nothingIssued(t, b, ex)

	is, err := Issue(t.Context(), b, ex, id, opt, nil)
	if err != nil || !is.Revocation || is.RevocationWhy != "" || is.Number != "CR-"+now.Format("2006")+"-0001" {
		t.Fatalf("%+v, %v", is, err)
	}
	a.Down = true // nothing is asked from here on
	v, err := Verify(t.Context(), is.Path, VerifyOptions{Roots: a.Roots, TSARoots: stampRoots, Now: now.Add(time.Minute)})
	if err != nil || !v.OK || !v.Has(sign.NotRevoked) || !v.Has(sign.SignerTrusted) || !v.Has(sign.TrustedTime) || !v.Has(sign.Unaltered) {
		t.Errorf("%v %+v", err, v)
	}
	pdfxtest.Check(t, is.Path)
	if out := pdfxtest.Output(t, "pdfsig", "-nocert", is.Path); !strings.Contains(out, "Signature is Valid") {
		t.Errorf("pdfsig: %s", out)
	}
}

// A self-made key has no authority to ask: the report is issued and says why
// nothing is embedded.
func TestIssueLongTermSelfMade(t *testing.T) {
	b, ex := desk(t, 0)
	is, err := Issue(t.Context(), b, ex, examiner(t), IssueOptions{Now: issuedAt, LongTerm: true}, nil)
	if err != nil || is.Revocation || !strings.Contains(is.RevocationWhy, "no certificate") || !is.Verdict.OK {
		t.Errorf("%+v, %v", is, err)
	}
}
