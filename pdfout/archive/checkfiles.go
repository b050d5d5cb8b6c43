package archive

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
)

// wanted is a file as the log names it; a size below 0 is not named.
type wanted struct {
	ref  Ref
	hash string
	size int64
}

func (c *checking) file(w wanted, full bool) error {
	c.done.Done++
	c.done.Name = w.ref.Hash
	c.opt.Progress(c.done)
	n, err := c.compare(c.a.store, w, full)
	c.out.Bytes += n
	if n > 0 {
		c.out.Read++
	}
	if w.size >= 0 {
		c.done.Bytes += n
	}
	var wrong *wrongFile
	if err == nil || !errors.As(err, &wrong) {
		return err
	}
	f := Finding{Severity: Grave, Ref: &w.ref, Text: wrong.why, Do: doRestore}
	if c.copy != nil {
		why, err := c.restore(w)
		if err != nil {
			return err
		}
		if why == "" {
			return nil
		}
		f.Text, f.Do = f.Text+"; "+why, "look for another copy, or for the file that the dealer sent"
	}
	c.find(f)
	return nil
}

// wrongFile says that a file is not what the log names.
type wrongFile struct{ why string }

func (e *wrongFile) Error() string { return e.why }

// cancellable is a reader that ends when its context does.
type cancellable struct {
	ctx context.Context
	r   io.Reader
}

func (c cancellable) Read(p []byte) (int, error) {
	if err := c.ctx.Err(); err != nil {
		return 0, err
	}
	return c.r.Read(p)
}

// compare compares a file with what the log names: its size always, its bytes
// where asked.
func (c *checking) compare(s Store, w wanted, bytes bool) (int64, error) {
	f, err := s.Open(w.ref)
	if errors.Is(err, ErrMissing) {
		return 0, &wrongFile{"the file is missing"}
	}
	if err != nil {
		return 0, &wrongFile{"the file cannot be opened: " + sentence(err)}
	}
	defer f.Close()
	if w.size >= 0 && f.Size() != w.size {
		return 0, &wrongFile{fmt.Sprintf("the file has %d bytes and not %d", f.Size(), w.size)}
	}
	if !bytes {
		return 0, nil
	}
	h := sha256.New()
	n, err := io.Copy(h, cancellable{c.ctx, f})
	if c.ctx.Err() != nil {
		return n, c.ctx.Err()
	}
	if err != nil {
		return n, &wrongFile{"the file cannot be read: " + sentence(err)}
	}
	if got := hex.EncodeToString(h.Sum(nil)); got != w.hash {
		return n, &wrongFile{fmt.Sprintf("the file was altered: its SHA-256 is now %s", got)}
	}
	return n, nil
}

// drawn is a number from 0 up to under 1 that follows from seed and report.
func drawn(seed, hash string) float64 {
	h := sha256.Sum256([]byte(seed + " " + hash))
	return float64(binary.BigEndian.Uint64(h[:8])>>11) / (1 << 53)
}

// restore brings a file back from the copy; it says why it could not.
func (c *checking) restore(w wanted) (why string, err error) {
	if _, err := c.compare(c.copy, w, true); err != nil {
		return "in the copy, " + err.Error(), nil
	}
	f, err := c.copy.Open(w.ref)
	if err != nil {
		return "", err
	}
	defer f.Close()
	if err := c.a.store.Restore(w.ref, f); err != nil {
		return "", err
	}
	if _, err := c.compare(c.a.store, w, true); err != nil {
		return "brought back from the copy, " + err.Error(), nil
	}
	c.out.Restored = append(c.out.Restored, w.ref)
	c.fixed = append(c.fixed, Event{Entry: Entry{Kind: Restored, File: w.ref.Hash, Area: w.ref.Area, Summary: "brought back from a second copy"}})
	return "", nil
}

// strangers looks for files that no line names, and for those of removed reports.
func (c *checking) strangers() error {
	for _, area := range Areas() {
		err := c.a.store.List(area, func(hash string, _ int64, stranger string) error {
			if stranger != "" {
				c.find(Finding{Severity: Minor, Text: fmt.Sprintf("%s is no file of the archive", clean(stranger, 300)), Do: doMove})
				return nil
			}
			key, ok := keyOf(hash)
			is, named := c.known[key]
			switch ref := (&Ref{area, hash}); {
			case ok && named && is.area == "":
				c.find(Finding{Severity: Grave, Ref: ref, Text: fmt.Sprintf("the report was removed (line %d of the log), and this file of it is still there", is.line), Do: doFinish})
			case !ok || !named || (is.area == Refused && area != Refused && area != Reasons):
				c.find(Finding{Severity: Grave, Ref: ref, Text: "no line of the log names this file: it was put here by hand, or lines were taken out of the log", Do: doMove})
			}
			return c.ctx.Err()
		})
		if err != nil {
			return err
		}
	}
	return nil
}
