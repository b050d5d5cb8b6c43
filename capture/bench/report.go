package bench

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"time"

	"wornwood/capture/blob"
	"wornwood/capture/index"
)

const reportSuffix = ".pdf"

// ErrReportExists says that a report of that number is there already; issued
// reports are never written over.
var ErrReportExists = errors.New("a report of that number exists already; take the next number")

// reportNumber is what a report number may look like, since it becomes a
// file's name.
var reportNumber = regexp.MustCompile(`^[A-Z]{1,4}-[0-9]{4}-[0-9]{4,8}$`)

// NextNumber is the number for the next report of a year, such as
// "CR-2026-0001": one more than the highest that any report or journal has.
func (b *Bench) NextNumber(at time.Time) (string, error) {
	prefix := fmt.Sprintf("CR-%04d-", at.Year())
	high := 0
	_, err := b.lookup(func(x *index.Index) ([]Row, error) {
		n, err := x.HighestNumber(prefix)
		high = n
		return nil, err
	})
	if err != nil {
		return "", err
	}
	list, err := os.ReadDir(filepath.Join(b.dir, reportsDir))
	if err != nil {
		return "", fmt.Errorf("list reports: %w", err)
	}
	for _, d := range list {
		s, ok := strings.CutPrefix(strings.TrimSuffix(d.Name(), reportSuffix), prefix)
		if n, err := strconv.Atoi(s); ok && err == nil {
			high = max(high, n)
		}
	}
	return fmt.Sprintf("%s%04d", prefix, high+1), nil
}

// WriteReport writes the PDF of a report once, durably, and returns its path
// inside the bench (with forward slashes) and its SHA-256. A report that exists
// is never written over: ErrReportExists.
func (b *Bench) WriteReport(number string, write func(io.Writer) error) (rel, sum string, err error) {
	if !reportNumber.MatchString(number) {
		return "", "", fmt.Errorf("write report: %.40q is not a report number", number)
	}
	b.reportMu.Lock()
	defer b.reportMu.Unlock()
	rel = path.Join(reportsDir, number+reportSuffix)
	p := b.ReportPath(rel)
	if _, err := os.Lstat(p); err == nil {
		return "", "", fmt.Errorf("write report %s: %w", number, ErrReportExists)
	}
	h := sha256.New()
	err = blob.WriteFile(p, 0o444, func(w io.Writer) error { return write(io.MultiWriter(w, h)) })
	if err != nil {
		return "", "", fmt.Errorf("write report: %w", err)
	}
	return rel, hex.EncodeToString(h.Sum(nil)), nil
}

// ReportPath is where a report lies, from Issued.File. Whatever a journal
// says, it is a file of the reports folder.
func (b *Bench) ReportPath(rel string) string {
	return filepath.Join(b.dir, reportsDir, path.Base(path.Clean("/"+strings.ReplaceAll(rel, `\`, "/"))))
}

// KeyPath is where the examiner's key lies or will lie.
func (b *Bench) KeyPath() string { return filepath.Join(b.dir, keysDir, "examiner.p12") }

// CertificatePath is where the public half of the examiner's key lies, so that
// it can be shown without the passphrase.
func (b *Bench) CertificatePath() string { return filepath.Join(b.dir, keysDir, "examiner.pem") }
