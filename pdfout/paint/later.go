package paint

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
)

const laterMark = "stand-in for file "

// Later announces a file that Finish writes into the document, and returns what
// stands for it until then. The file's size in bytes and its SHA-256 in hex are
// known beforehand; a file that turns out to be another is an error of Finish.
// open is called by Finish.
func (d *Doc) Later(name, sum string, size int64, open func() (io.ReadCloser, error)) ([]byte, error) {
	if b, err := hex.DecodeString(sum); err != nil || len(b) != sha256.Size || size <= 0 {
		return nil, fmt.Errorf("announce file %s: it has no digest or no size", name)
	}
	standIn := []byte(laterMark + sum)
	d.later[sum] = piece{name: name, standIn: len(standIn), size: size, write: func(w io.Writer) error {
		if err := copyOf(w, sum, size, open); err != nil {
			return fmt.Errorf("put file %s in place: %w", name, err)
		}
		return nil
	}}
	return standIn, nil
}

func copyOf(w io.Writer, sum string, size int64, open func() (io.ReadCloser, error)) error {
	r, err := open()
	if err != nil {
		return err
	}
	defer r.Close()
	h := sha256.New()
	n, err := io.CopyBuffer(io.MultiWriter(w, h), io.LimitReader(r, size+1), make([]byte, 128<<10))
	if err == nil && (n != size || hex.EncodeToString(h.Sum(nil)) != sum) {
		err = fmt.Errorf("it is not the file that was announced: its bytes have changed")
	}
	return err
}
