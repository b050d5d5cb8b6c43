package bench

import (
	"context"
	"errors"
	"fmt"
	"sync"

	"wornwood/capture/blob"
	"wornwood/capture/journal"
	"wornwood/capture/photo"
	"wornwood/capture/record"
)

// ImportResult says what became of each file of an import.
type ImportResult struct {
	Added   []record.Photo `json:"added"`
	Known   []string       `json:"known"` // files whose content the examination has already
	Refused []Refusal      `json:"refused"`
}

// Import copies photos byte for byte onto the bench and into an examination.
// Sources are files and folders. Each photo is saved by itself, in the order of
// the sources, before progress is told of it; Undo takes the whole import back.
// progress may be nil and is called from one goroutine at a time.
//
// A file that cannot be used is listed in Refused and stops nothing. When ctx
// ends, photos whose original was stored are still entered, no other is begun,
// and the error is ctx's; the result is then what was done until there.
func (b *Bench) Import(ctx context.Context, ex *Exam, sources []string, progress func(done, total int, file string)) (*ImportResult, error) {
	if ex.b != b {
		return &ImportResult{}, errors.New("import: the examination belongs to another bench")
	}
	select {
	case b.importing <- struct{}{}:
		defer func() { <-b.importing }()
	case <-ctx.Done():
		return &ImportResult{}, ctx.Err()
	}
	if _, frozen := ex.Issued(); frozen {
		return &ImportResult{}, ErrIssued
	}
	files, refused, err := listSources(ctx, sources)
	if err != nil {
		return &ImportResult{}, err
	}
	group, err := b.newID()
	if err != nil {
		return &ImportResult{}, err
	}
	im := &importer{b: b, ex: ex, files: files, group: group, progress: progress, res: &ImportResult{Refused: refused}}
	return im.res, im.run(ctx)
}

// importer is one running import. Workers read, check, reduce and store; the
// one who collects enters the photos in the order of the files.
type importer struct {
	b        *Bench
	ex       *Exam
	files    []string
	group    string
	progress func(done, total int, file string)
	res      *ImportResult
	done     int
}

// arrival is what a worker brings of one file.
type arrival struct {
	begun bool
	photo record.Photo
	known bool  // in the examination already
	err   error // why it is refused
	fatal error // why the import cannot go on
}

func (im *importer) run(ctx context.Context) error {
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	next := make(chan int)
	out := make([]chan arrival, len(im.files))
	for i := range out {
		out[i] = make(chan arrival, 1)
	}
	// A file is handed out only when it is near the one being entered, so that
	// a slow first photo does not let finished ones pile up.
	room := make(chan struct{}, 2*workers)
	go func() {
		defer close(next)
		for i := range im.files {
			select {
			case room <- struct{}{}:
			case <-ctx.Done():
			}
			// Once stopped, every file left is still handed out, so that each
			// arrival comes; arrive then does nothing.
			next <- i
		}
	}()
	var wg sync.WaitGroup
	for range workers {
		wg.Go(func() {
			for i := range next {
				out[i] <- im.arrive(ctx, im.files[i])
			}
		})
	}
	var failed error
	for i := range im.files {
		a := <-out[i]
		select {
		case <-room:
		default:
		}
		if err := im.enter(im.files[i], a); err != nil && failed == nil {
			failed = err
			stop(err)
		}
	}
	wg.Wait()
	if failed != nil {
		return failed
	}
	if im.done < len(im.files) {
		return context.Cause(ctx)
	}
	return nil
}

// arrive does everything for one file but entering it.
func (im *importer) arrive(ctx context.Context, file string) arrival {
	if ctx.Err() != nil {
		return arrival{}
	}
	data, err := readSource(file)
	if err != nil {
		return arrival{begun: true, err: err}
	}
	p, err := photo.Read(data, file)
	if err != nil {
		return arrival{begun: true, err: err}
	}
	if im.ex.Record().PhotoByID(p.ID) != nil {
		return arrival{begun: true, photo: p, known: true}
	}
	made, err := im.b.makePreviews(ctx, data, p.Orientation)
	if ctx.Err() != nil {
		return arrival{}
	}
	if err != nil {
		return arrival{begun: true, err: fmt.Errorf("%s cannot be shown: %w", photo.Name(file), err)}
	}
	if made.remark != "" {
		p.Remarks = append(p.Remarks, made.remark)
	}
	photo.Stamp(&p, im.b.now())
	id, _, err := im.b.blobs.PutBytes(data)
	if err == nil && id != p.ID {
		err = &blob.DamagedError{ID: p.ID, Path: file, Why: "its content changed while it was read"}
	}
	if err != nil {
		return arrival{begun: true, fatal: fmt.Errorf("import %s: %w", photo.Name(file), err)}
	}
	// A preview that cannot be kept is made again when it is asked for.
	_ = im.b.keepPreviews(id, made)
	return arrival{begun: true, photo: p}
}

// enter takes one arrival into the examination. An error ends the import.
func (im *importer) enter(file string, a arrival) error {
	if !a.begun {
		return nil
	}
	if a.fatal != nil {
		return a.fatal
	}
	rec := im.ex.Record()
	switch {
	case a.err != nil:
		im.res.Refused = append(im.res.Refused, Refusal{file, a.err.Error()})
	case a.known || rec.PhotoByID(a.photo.ID) != nil:
		im.res.Known = append(im.res.Known, file)
	case len(rec.Photos) >= record.MaxPhotos:
		im.res.Refused = append(im.res.Refused, Refusal{file, fmt.Sprintf("the examination has %d photos, as many as it can hold", len(rec.Photos))})
	default:
		c, err := record.Set(record.PhotoTarget(a.photo.ID), a.photo)
		if err == nil {
			err = im.ex.append(journal.Entry{Op: journal.Do, Name: "Photos imported", Group: im.group, Changes: []record.Change{c}})
		}
		if err != nil {
			return fmt.Errorf("import %s: %w", photo.Name(file), err)
		}
		im.res.Added = append(im.res.Added, a.photo)
	}
	im.done++
	if im.progress != nil {
		im.progress(im.done, len(im.files), file)
	}
	return nil
}
