package bench

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"wornwood/capture/blob"
)

// MaxReceipts is how many receipts are kept of one report: a buyer may find more
// a day later, but nobody fills a bench with them.
const MaxReceipts = 16

// maxReceipt is the largest receipt that is kept, in bytes; reports have a limit
// of their own.
const maxReceipt = 512 << 20

// ErrReceipts says that MaxReceipts are kept already.
var ErrReceipts = errors.New("as many receipts of this report are kept as a bench takes")

// receiptName is the name of a receipt: the report's number, and the SHA-256 of
// the receipt itself.
var receiptName = regexp.MustCompile(`^([A-Z]{1,4}-[0-9]{4}-[0-9]{4,8})-receipt-([0-9a-f]{64})\.(pdf|json)$`)

// KeepReceipt keeps a receipt that came back for an issued report, once and
// durably, beside the report. ext is ".pdf" for a receipt that was signed and
// ".json" for the answers that belong to a countersigned copy. It is named by its
// own SHA-256, so the same one twice is known. That it is a good receipt of that
// report the caller has checked. Errors: ErrNoSuchReport, ErrReceipts, wrapped.
func (b *Bench) KeepReceipt(number, ext string, data []byte) (rel string, known bool, err error) {
	if !reportNumber.MatchString(number) || (ext != ".pdf" && ext != ".json") || len(data) > maxReceipt {
		return "", false, fmt.Errorf("keep receipt: %.40q is not a report number, %q no ending of a receipt, or it is too large", number, ext)
	}
	b.reportMu.Lock()
	defer b.reportMu.Unlock()
	if _, err := os.Lstat(b.ReportPath(number + reportSuffix)); errors.Is(err, fs.ErrNotExist) {
		return "", false, fmt.Errorf("keep receipt for %s: %w", number, ErrNoSuchReport)
	}
	rel = path.Join(reportsDir, number+"-receipt-"+blob.Sum(data)+ext)
	if _, err := os.Lstat(b.ReportPath(rel)); err == nil {
		return rel, true, nil
	}
	if list, err := b.Receipts(number); err != nil || len(list) >= MaxReceipts {
		if err == nil {
			err = ErrReceipts
		}
		return "", false, fmt.Errorf("keep receipt for %s: %w", number, err)
	}
	err = blob.WriteFile(b.ReportPath(rel), 0o444, func(w io.Writer) error {
		_, err := io.Copy(w, bytes.NewReader(data))
		return err
	})
	if err != nil {
		return "", false, fmt.Errorf("keep receipt for %s: %w", number, err)
	}
	return rel, false, nil
}

// Receipts lists the receipts kept of a report, inside the bench with forward
// slashes, in no order that means anything. What they say package receive reads.
func (b *Bench) Receipts(number string) ([]string, error) {
	all, err := b.receipts()
	return all[number], err
}

// Received lists the numbers of the reports of which a countersigned copy or a
// receipt is kept.
func (b *Bench) Received() ([]string, error) {
	list, err := os.ReadDir(filepath.Join(b.dir, reportsDir))
	if err != nil {
		return nil, fmt.Errorf("list reports: %w", err)
	}
	var out []string
	seen := map[string]bool{}
	for _, d := range list {
		n, ok := strings.CutSuffix(d.Name(), countersignedSuffix)
		if m := receiptName.FindStringSubmatch(d.Name()); m != nil && m[3] == "pdf" {
			n, ok = m[1], true
		}
		if ok && !seen[n] {
			seen[n] = true
			out = append(out, n)
		}
	}
	return out, nil
}

// receipts lists all receipts by the number of their report.
func (b *Bench) receipts() (map[string][]string, error) {
	list, err := os.ReadDir(filepath.Join(b.dir, reportsDir))
	if err != nil {
		return nil, fmt.Errorf("list reports: %w", err)
	}
	out := map[string][]string{}
	for _, d := range list {
		if m := receiptName.FindStringSubmatch(d.Name()); m != nil {
			out[m[1]] = append(out[m[1]], path.Join(reportsDir, d.Name()))
		}
	}
	return out, nil
}

// receipt sees that a receipt belongs to an issued report and is the file that
// its name says.
func (c *checker) receipt(name string, m []string) {
	file := reportsDir + "/" + name
	if !slices.Contains(c.issued, m[1]+reportSuffix) {
		c.find(file, "belongs to no issued report")
		return
	}
	switch got, err := hashFile(c.b.ReportPath(name)); {
	case err != nil:
		c.find(file, fmt.Sprintf("cannot be read: %v", err))
	case got != m[2]:
		c.find(file, "is not the receipt that came back: its SHA-256 is now "+got+"; bring it back from a backup")
	}
}
