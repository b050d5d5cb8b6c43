package bench

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"

	"wornwood/capture/blob"
	"wornwood/capture/index"
)

// Dated is what one examination says with a date in it.
type Dated = index.Dated

// Dated lists what the examinations say with dates in it, for what is due. It
// comes from the index, and from the reports folder which of the issued reports
// were answered by a buyer: with a countersigned copy, or with a receipt.
func (b *Bench) Dated() ([]Dated, error) {
	var out []Dated
	_, err := b.lookup(func(x *index.Index) (_ []Row, err error) {
		out, err = x.Dated()
		return nil, err
	})
	if err != nil {
		return nil, err
	}
	answered, err := b.Received()
	if err != nil {
		return nil, err
	}
	is := map[string]bool{}
	for _, n := range answered {
		is[n] = true
	}
	for i := range out {
		out[i].Countersigned = is[out[i].Number]
	}
	return out, nil
}

// KeepAnswers keeps a short text with an examination in the state it had when
// the row was listed; see index.Keep. Losing it loses nothing.
func (b *Bench) KeepAnswers(r Row, text string) error {
	_, err := b.lookup(func(x *index.Index) ([]Row, error) { return nil, x.Keep(r.Exam, r.Stamp, text) })
	return err
}

// countersignedSuffix follows a report's number in the name of its
// countersigned copy.
const countersignedSuffix = "-countersigned" + reportSuffix

// ErrNoSuchReport says that the bench has issued no report of a number.
var ErrNoSuchReport = errors.New("this bench has issued no report of that number")

// ErrNotOurReport says that a file does not begin with the bytes of the report
// as issued, or adds nothing to them.
var ErrNotOurReport = errors.New("the file is not the report as it was issued here with something added to its end")

// ErrCountersigned says that another countersigned copy of a report is kept
// already.
var ErrCountersigned = errors.New("another countersigned copy of this report is kept already; it is not replaced")

// Countersigned is the countersigned copy of a report inside the bench, with
// forward slashes; ok is false when none is kept.
func (b *Bench) Countersigned(number string) (rel string, ok bool) {
	if !reportNumber.MatchString(number) {
		return "", false
	}
	rel = path.Join(reportsDir, number+countersignedSuffix)
	st, err := os.Lstat(b.ReportPath(rel))
	return rel, err == nil && st.Mode().IsRegular()
}

// KeepCountersigned keeps a copy of an issued report that came back with a
// countersignature, once and durably, beside the report, which it leaves alone.
// The copy has to be the issued file byte for byte with something behind it;
// that it is a good countersignature the caller has checked. known tells that
// this very copy was kept before. Errors: ErrNoSuchReport, ErrNotOurReport,
// ErrCountersigned, wrapped.
func (b *Bench) KeepCountersigned(number string, from io.Reader) (rel string, known bool, err error) {
	if !reportNumber.MatchString(number) {
		return "", false, fmt.Errorf("keep countersigned report: %.40q is not a report number", number)
	}
	b.reportMu.Lock()
	defer b.reportMu.Unlock()
	issued, err := os.Open(b.ReportPath(number + reportSuffix))
	if errors.Is(err, fs.ErrNotExist) {
		return "", false, fmt.Errorf("keep countersigned report %s: %w", number, ErrNoSuchReport)
	}
	if err != nil {
		return "", false, fmt.Errorf("keep countersigned report: %w", err)
	}
	defer issued.Close()
	rel = path.Join(reportsDir, number+countersignedSuffix)
	p := b.ReportPath(rel)
	if _, err := os.Lstat(p); err == nil {
		same, err := sameAs(p, from)
		if err == nil && !same {
			err = ErrCountersigned
		}
		if err != nil {
			return "", false, fmt.Errorf("keep countersigned report %s: %w", number, err)
		}
		return rel, true, nil
	}
	err = blob.WriteFile(p, 0o444, func(w io.Writer) error {
		if err := begins(io.TeeReader(from, w), issued); err != nil {
			return err
		}
		n, err := io.Copy(w, from)
		if err == nil && n == 0 {
			err = ErrNotOurReport
		}
		return err
	})
	if err != nil {
		return "", false, fmt.Errorf("keep countersigned report %s: %w", number, err)
	}
	return rel, false, nil
}

// begins reads as much of a stream as the issued report has and compares.
func begins(r, issued io.Reader) error {
	var a, b [32 << 10]byte
	for {
		n, err := io.ReadFull(issued, a[:])
		if err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, io.ErrUnexpectedEOF) {
			return err
		}
		if n == 0 {
			return nil
		}
		switch _, err := io.ReadFull(r, b[:n]); {
		case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
			return ErrNotOurReport
		case err != nil:
			return err
		}
		if !bytes.Equal(a[:n], b[:n]) {
			return ErrNotOurReport
		}
	}
}

// sameAs compares a kept file with a stream.
func sameAs(path string, r io.Reader) (bool, error) {
	f, err := os.Open(path)
	if err != nil {
		return false, err
	}
	defer f.Close()
	if err := begins(r, f); err != nil {
		if errors.Is(err, ErrNotOurReport) {
			return false, nil
		}
		return false, err
	}
	var one [1]byte
	_, err = io.ReadFull(r, one[:])
	return errors.Is(err, io.EOF), nil
}
