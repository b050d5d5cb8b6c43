package view

import (
	"context"
	"fmt"

	"wornwood/annotate/colour"
	"wornwood/capture/record"
	"wornwood/capture/reduce"
)

// FadeJob reads two or three patches from the originals. Run takes about half a
// second for each photo of 24 megapixels that is not open yet.
type FadeJob struct {
	src     ColourSource
	options colour.Options
	mark    int
	photos  map[string]record.Photo
	patches [3]*record.Patch // nil for none
	read    [3]colour.Reading
	result  colour.Result
}

// NewFadeJob makes the job for the patches of a mark, in the order of
// PatchWords; the last may be nil.
func NewFadeJob(src ColourSource, rec *record.Record, mark int, patches [3]*record.Patch, o colour.Options) *FadeJob {
	j := &FadeJob{src: src, options: o, mark: mark, patches: patches, photos: map[string]record.Photo{}}
	for _, p := range patches {
		if p == nil {
			continue
		}
		if ph := rec.PhotoByID(p.Photo); ph != nil {
			j.photos[p.Photo] = *ph
		}
	}
	return j
}

// Run reads the patches.
func (j *FadeJob) Run(ctx context.Context) error {
	open := map[string]*colour.Image{}
	for w, p := range j.patches {
		if p == nil {
			continue
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		img, err := j.open(open, p.Photo)
		if err != nil {
			return err
		}
		if j.read[w], err = colour.Read(img, p.Ring); err != nil {
			return fmt.Errorf("read the patch %q: %w", PatchWords[w], err)
		}
	}
	var grey *colour.Reading
	if j.patches[GreyPatch] != nil {
		grey = &j.read[GreyPatch]
	}
	var err error
	j.result, err = colour.Compare(j.read[ReferencePatch], j.read[FadedPatch], grey, j.options)
	return err
}

func (j *FadeJob) open(kept map[string]*colour.Image, id string) (*colour.Image, error) {
	if img := kept[id]; img != nil {
		return img, nil
	}
	p, ok := j.photos[id]
	if !ok {
		return nil, fmt.Errorf("read colour: the examination has no such photo")
	}
	data, err := j.src.OriginalBytes(id)
	if err != nil {
		return nil, err
	}
	img, err := colour.Open(data, p.Orientation, reduce.Limits{})
	if err != nil {
		return nil, fmt.Errorf("read colour of %s: %w", p.Name, err)
	}
	kept[id] = img
	return img, nil
}

// Result is what was read, once Run has ended without an error.
func (j *FadeJob) Result() *colour.Result { return &j.result }
