// Package receive is what happens when an instrument arrives: its buyer goes
// through the report with the instrument in hand, then countersigns it or
// issues a receipt; the dealer's bench takes either back.
//
// Start with Open, which checks a report and begins, or goes on with, its
// receiving; then Receiving.Countersign or Receiving.Issue. Check judges a
// receipt that somebody sent; TakeBack keeps one on the bench that issued the
// report.
//
// A countersignature may fill its field and add nothing else, so what was
// answered travels beside it as JSON, and the signature's reason carries its
// digest. A receipt is a PDF of its own, signed by the buyer, that names the
// report by number, SHA-256 and key and carries the same JSON.
//
// A receipt proves what the holder of one key said on receipt. It does not
// prove that the instrument in hand was the one of the report, nor that the
// buyer was right.
package receive

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"os"

	"github.com/gowebpki/jcs"

	"wornwood/capture/record"
	"wornwood/pdfout"
)

// Name is the name of the receipt attached to a receipt's PDF.
const Name = "receipt.json"

// Bytes is a receipt as the one JSON text that RFC 8785 allows.
func Bytes(r *record.Receipt) ([]byte, error) {
	if err := r.Check(); err != nil {
		return nil, err
	}
	return pdfout.Canonical(r)
}

// Parse reads a receipt strictly: canonical JSON (RFC 8785) of the one schema,
// with no other member, within the limits, and whole.
func Parse(data []byte) (*record.Receipt, error) {
	if len(data) > record.MaxReceiptBytes {
		return nil, fmt.Errorf("read receipt: larger than %d MiB", record.MaxReceiptBytes>>20)
	}
	var r record.Receipt
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&r); err != nil {
		return nil, fmt.Errorf("read receipt: %w", err)
	}
	if _, err := d.Token(); err != io.EOF {
		return nil, fmt.Errorf("read receipt: something follows the receipt")
	}
	// What says a thing twice could be read in two ways; the canonical form cannot.
	one, err := jcs.Transform(data)
	if err == nil && !bytes.Equal(one, data) {
		err = fmt.Errorf("it is not in canonical form (RFC 8785), so different programs might read it differently")
	}
	if err == nil {
		err = r.Check()
	}
	// A value that this program would write in another way is one it has not
	// understood, such as a date with other digits.
	if err == nil {
		var again []byte
		if again, err = pdfout.Canonical(&r); err == nil && !bytes.Equal(again, data) {
			err = fmt.Errorf("it holds values that are not written as a receipt's are")
		}
	}
	if err != nil {
		return nil, fmt.Errorf("read receipt: %w", err)
	}
	return &r, nil
}

func sum(b []byte) string {
	h := sha256.Sum256(b)
	return hex.EncodeToString(h[:])
}

// maxFile is the largest report or receipt that is read; see pdf.Limits.
const maxFile = 512 << 20

// readFile reads a file whole. What is checked and what is used after are then
// the same bytes, even when the file changes meanwhile.
func readFile(path string, limit int64) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	st, err := f.Stat()
	if err != nil {
		return nil, err
	}
	if !st.Mode().IsRegular() {
		return nil, fmt.Errorf("%s is not a file", path)
	}
	if st.Size() > limit {
		return nil, fmt.Errorf("%s is larger than %d MiB", path, limit>>20)
	}
	data, err := io.ReadAll(io.LimitReader(f, limit+1))
	if err == nil && int64(len(data)) > limit {
		err = fmt.Errorf("%s grew while it was read", path)
	}
	return data, err
}
