package bench

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"wornwood/capture/blob"
)

const (
	listingsDir = "listings"
	// maxListing bounds what is kept of a listing, in bytes.
	maxListing = 4 << 20
)

// Listing is what was kept of an examination's listing, nil for nothing. What it
// says is read by pdfout/listing.
func (b *Bench) Listing(exam string) ([]byte, error) {
	path, err := b.listingPath(exam)
	if err != nil {
		return nil, err
	}
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("read listing: %w", err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxListing+1))
	if err != nil {
		return nil, fmt.Errorf("read listing: %w", err)
	}
	if len(data) > maxListing {
		return nil, fmt.Errorf("read listing %s: it is larger than %d MiB", path, maxListing>>20)
	}
	return data, nil
}

// KeepListing keeps what is decided about an examination's listing in place of
// what was kept before. It is no part of the record and may change after the
// report was issued.
func (b *Bench) KeepListing(exam string, data []byte) error {
	path, err := b.listingPath(exam)
	if err != nil {
		return err
	}
	if len(data) > maxListing {
		return fmt.Errorf("keep listing: it is larger than %d MiB", maxListing>>20)
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.closed {
		return ErrClosed
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return fmt.Errorf("keep listing: %w", err)
	}
	if err := blob.SyncDir(b.dir); err != nil {
		return err
	}
	return blob.WriteFile(path, 0o644, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
}

func (b *Bench) listingPath(exam string) (string, error) {
	if !validID(exam) {
		return "", fmt.Errorf("there is no examination %q", exam)
	}
	return filepath.Join(b.dir, listingsDir, exam+".json"), nil
}
