package archive

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/jpeg"
	"slices"

	"wornwood/capture/reduce"
	"wornwood/pdfout/receive"
)

// ViewRow is one view of the instrument over time.
type ViewRow struct {
	View string `json:"view"`
	// Photos has one entry for each examination of the history: the Photo.ID, ""
	// where it has none of the view.
	Photos []string `json:"photos"`
}

// Views are the views of which at least one examination has a photo, those that
// most examinations have first, then in the order in which they first come up.
// Of several photos of one view the first counts.
func (h *History) Views() []ViewRow {
	out := []ViewRow{}
	n := map[string]int{}
	for i, l := range h.Looks {
		for _, p := range l.Photos {
			if p.View == "" {
				continue
			}
			k := slices.IndexFunc(out, func(v ViewRow) bool { return v.View == p.View })
			if k < 0 {
				k = len(out)
				out = append(out, ViewRow{p.View, make([]string, len(h.Looks))})
			}
			if out[k].Photos[i] == "" {
				out[k].Photos[i] = p.ID
				n[p.View]++
			}
		}
	}
	slices.SortStableFunc(out, func(a, b ViewRow) int { return n[b.View] - n[a.View] })
	return out
}

// The limits of photos that are taken out of reports for being shown.
const (
	maxShown  = 4096     // pixels, the longer side
	maxAsked  = 64       // photos of one report at once
	maxSource = 32 << 20 // bytes of one
)

// Photos takes photos out of a report as it prints them, by Photo.ID, as JPEG no
// larger than so many pixels on the longer side. One that the report does not
// print, or that cannot be read, is left out.
func (a *Archive) Photos(ctx context.Context, hash string, ids []string, size int) (map[string][]byte, error) {
	if len(ids) > maxAsked || size < 1 || size > maxShown {
		return nil, fmt.Errorf("show photos: %d photos of %d pixels are more than can be shown at once", len(ids), size)
	}
	r, err := a.row(hash)
	if err != nil {
		return nil, err
	}
	l := Look{Report: r}
	if err := a.fill(&l); err != nil {
		return nil, err
	}
	f, err := a.store.Open(Ref{Files, r.Hash})
	if err != nil {
		return nil, err
	}
	defer f.Close()
	found, err := receive.PicturesIn(f, f.Size(), l.rec, func(id string) bool { return slices.Contains(ids, id) })
	if err != nil {
		return nil, err
	}
	for id, data := range found {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		small, _, err := reduce.Previews(ctx, data, 1, []int{size}, 0, reduce.Limits{Bytes: maxSource})
		if err != nil || len(small) == 0 {
			delete(found, id)
			continue
		}
		found[id] = small[0].JPEG
	}
	return found, nil
}

// Pictures is Photos, decoded.
func (a *Archive) Pictures(ctx context.Context, hash string, ids []string, size int) (map[string]image.Image, error) {
	list, err := a.Photos(ctx, hash, ids, size)
	if err != nil {
		return nil, err
	}
	out := map[string]image.Image{}
	for id, data := range list {
		if m, err := jpeg.Decode(bytes.NewReader(data)); err == nil {
			out[id] = m
		}
	}
	return out, nil
}
