package pdfout

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"

	"wornwood/capture/bench"
	"wornwood/pdfout/pdf"
	"wornwood/pdfout/sign"
)

// Returned is a countersigned report that was taken back.
type Returned struct {
	Number string `json:"number"`
	File   string `json:"file"`  // inside the bench, with forward slashes
	By     string `json:"by"`    // who countersigned, as written in the certificate
	Key    string `json:"key"`   // full fingerprint of that key
	Known  bool   `json:"known"` // this very copy was kept before
}

// errNoReturn explains why a file is no report that can be taken back.
type errNoReturn struct{ why string }

func (e *errNoReturn) Error() string { return "take back report: " + e.why }

// CanReturn says whether a checked report is a countersigned copy of one that
// this bench issued and of which it keeps no such copy yet.
func CanReturn(b *bench.Bench, v *Verdict) bool {
	if v == nil || !v.OK || !v.Countersigned || v.Record == nil {
		return false
	}
	n := v.Record.Examination.Number
	if _, err := os.Stat(b.ReportPath(n + ".pdf")); n == "" || err != nil {
		return false
	}
	_, kept := b.Countersigned(n)
	return !kept
}

// TakeBack keeps the countersigned copy of a report that this bench issued: the
// file at path must pass Verify, be countersigned, and be the issued file byte
// for byte with the countersignature behind it. It is kept beside the report
// as reports/NUMBER-countersigned.pdf; the report itself and a copy kept before
// are never touched. The errors of bench.KeepCountersigned come wrapped.
func TakeBack(ctx context.Context, b *bench.Bench, path string, opt VerifyOptions) (*Returned, error) {
	data, err := readReport(path, opt.Limits)
	if err != nil {
		return nil, err
	}
	// What is checked and what is kept are the same bytes, even when the file
	// changes meanwhile.
	v, err := VerifyReader(ctx, bytes.NewReader(data), int64(len(data)), opt)
	if err != nil {
		return nil, err
	}
	switch {
	case !v.OK:
		return nil, &errNoReturn{"it does not pass the check: " + v.Worst()}
	case !v.Countersigned:
		return nil, &errNoReturn{"no buyer has countersigned it; only a countersigned copy is kept"}
	}
	out := &Returned{Number: v.Record.Examination.Number}
	for _, s := range v.Signatures {
		if s.Field == sign.FieldBuyer {
			out.By, out.Key = s.Signer, s.Fingerprint
		}
	}
	out.File, out.Known, err = b.KeepCountersigned(out.Number, bytes.NewReader(data))
	if errors.Is(err, bench.ErrNoSuchReport) {
		return nil, fmt.Errorf("take back report: this bench has issued no report %s; open the bench that did: %w", out.Number, err)
	}
	if err != nil {
		return nil, fmt.Errorf("take back report: %w", err)
	}
	return out, nil
}

// defaultSize is the largest report that is read; see pdf.Limits.
const defaultSize = 512 << 20

func readReport(path string, lim pdf.Limits) ([]byte, error) {
	if lim.Size == 0 {
		lim.Size = defaultSize
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("take back report: %w", err)
	}
	defer f.Close()
	st, err := f.Stat()
	if err != nil {
		return nil, fmt.Errorf("take back report: %w", err)
	}
	if !st.Mode().IsRegular() {
		return nil, &errNoReturn{path + " is not a file"}
	}
	if st.Size() > lim.Size {
		return nil, &errNoReturn{fmt.Sprintf("%s is larger than %d MiB", path, lim.Size>>20)}
	}
	data, err := io.ReadAll(io.LimitReader(f, lim.Size+1))
	if err != nil {
		return nil, fmt.Errorf("take back report: %w", err)
	}
	if int64(len(data)) > lim.Size {
		return nil, &errNoReturn{fmt.Sprintf("%s grew while it was read", path)}
	}
	return data, nil
}
