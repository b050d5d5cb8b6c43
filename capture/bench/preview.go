package bench

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"

	"wornwood/capture/blob"
	"wornwood/capture/photo"
)

// Sizes of previews: the longer side in pixels. The large one fills a window,
// the small one a list.
const (
	LargePreview = 2048
	SmallPreview = 320
)

// workers is how many photos are decoded at once. Decoding is the one thing
// that needs much memory, so this bounds it.
const workers = 2

const previewQuality = 85 // of the JPEG; at 85 its loss is below what reducing loses

// maxPreview bounds a preview's file. A JPEG of 2048 x 2048 pixels stays far below.
const maxPreview = 16 << 20

// previewSizes lists the sizes that are made.
func previewSizes() []int { return []int{LargePreview, SmallPreview} }

func (b *Bench) previewPath(id string, size int) string {
	return filepath.Join(b.dir, previewsDir, id[:2], fmt.Sprintf("%s-%d.jpg", id, size))
}

// Preview is an upright JPEG of a photo whose longer side has size pixels,
// LargePreview or SmallPreview (less when the photo is smaller). A preview that
// is missing or cut off is made again from the original.
func (b *Bench) Preview(id string, size int) ([]byte, error) {
	if !slices.Contains(previewSizes(), size) {
		return nil, fmt.Errorf("read preview: there is none of %d pixels", size)
	}
	if !blob.ValidID(id) {
		return nil, fmt.Errorf("read preview: %.70q is not the ID of a photo", id)
	}
	if data, ok := readPreview(b.previewPath(id, size)); ok {
		return data, nil
	}
	data, err := b.OriginalBytes(id)
	if err != nil {
		return nil, err
	}
	fields, _, _ := photo.ReadFields(data)
	made, err := b.makePreviews(context.Background(), data, fields.Orientation)
	if err != nil {
		return nil, fmt.Errorf("make preview of %s: %w", id, err)
	}
	// A preview that cannot be kept can still be shown.
	_ = b.keepPreviews(id, made)
	return made.images[slices.Index(previewSizes(), size)], nil
}

// readPreview reads a preview and looks whether it is whole: previews are not
// synced, so a loss of power may leave one empty or partly zero.
func readPreview(path string) ([]byte, bool) {
	f, err := os.Open(path)
	if err != nil {
		return nil, false
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxPreview+1))
	whole := err == nil && len(data) <= maxPreview && bytes.HasPrefix(data, []byte{0xff, 0xd8, 0xff}) && bytes.HasSuffix(data, []byte{0xff, 0xd9})
	return data, whole
}

// previews are the made previews in the order of previewSizes.
type previews struct {
	images [][]byte
	remark string // a sentence when the photo could only be decoded in part
}

// makePreviews decodes and reduces a photo. Only so many run at once as there
// are workers.
func (b *Bench) makePreviews(ctx context.Context, data []byte, orientation int) (previews, error) {
	select {
	case b.reducing <- struct{}{}:
		defer func() { <-b.reducing }()
	case <-ctx.Done():
		return previews{}, ctx.Err()
	}
	return reducePhoto(ctx, data, orientation)
}

func (b *Bench) keepPreviews(id string, p previews) error {
	for i, size := range previewSizes() {
		path := b.previewPath(id, size)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return fmt.Errorf("keep preview: %w", err)
		}
		if err := blob.WriteSpare(filepath.Join(b.dir, previewsDir), path, 0o644, p.images[i]); err != nil {
			return err
		}
	}
	return nil
}
