package bench

import (
	"bytes"
	"fmt"
	"image"
	"io"

	"wornwood/capture/photo"
	"wornwood/capture/record"
	"wornwood/capture/reduce"
)

// Original is an opened original whose content was checked against its ID.
type Original interface {
	io.ReaderAt
	io.Closer
}

// Original opens an original, byte for byte as it was imported, and says its
// size in bytes. It is read once to check it.
func (b *Bench) Original(id string) (Original, int64, error) {
	f, err := b.blobs.Open(id)
	if err != nil {
		return nil, 0, fmt.Errorf("open original: %w", err)
	}
	return f, f.Size, nil
}

// OriginalBytes is the checked content of an original.
func (b *Bench) OriginalBytes(id string) ([]byte, error) {
	data, err := b.blobs.Bytes(id, photo.MaxBytes)
	if err != nil {
		return nil, fmt.Errorf("read original: %w", err)
	}
	return data, nil
}

// Picture is a photo at its full size, upright, as its marks' pixels count. It
// is decoded within the limits of package reduce; rows that a broken file lacks
// are white.
func (b *Bench) Picture(p record.Photo) (image.Image, error) {
	data, err := b.OriginalBytes(p.ID)
	if err != nil {
		return nil, err
	}
	img, _, err := reduce.Decode(data, reduce.Limits{})
	if err != nil {
		return nil, fmt.Errorf("decode %s: %w", p.Name, err)
	}
	return reduce.Upright(img, p.Orientation), nil
}

// HasOriginal tells whether the original is on the bench, without reading it.
func (b *Bench) HasOriginal(id string) bool { return b.blobs.Has(id) }

// maxHead is how much of a JPEG's beginning is read for its thumbnail: Exif's
// segment is at most 64 KiB, and others may stand before it.
const maxHead = 512 << 10

// Thumbnail is the small JPEG that the camera put into its file and how it has
// to be turned (Exif's 1 to 8). It is there within a millisecond, so it can be
// shown until a preview is; it is not checked. See photo.Thumbnail.
func (b *Bench) Thumbnail(id string) (jpeg []byte, orientation int, err error) {
	f, err := b.blobs.OpenUnchecked(id)
	if err != nil {
		return nil, 0, fmt.Errorf("read thumbnail: %w", err)
	}
	defer f.Close()
	var head bytes.Buffer
	if _, err := io.CopyN(&head, f, maxHead); err != nil && err != io.EOF {
		return nil, 0, fmt.Errorf("read thumbnail: %w", err)
	}
	return photo.Thumbnail(head.Bytes())
}

// OriginalPath is where the original of a photo lies, for showing it to a
// person; read it through Original, which checks it.
func (b *Bench) OriginalPath(id string) string { return b.blobs.Path(id) }
