package bench

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"wornwood/capture/photo"
	"wornwood/capture/record"
)

// maxSources bounds how many files one import looks at.
const maxSources = 4 * record.MaxPhotos

// Refusal is a file that was not imported, with the reason in one sentence.
type Refusal struct {
	File string `json:"file"`
	Why  string `json:"why"`
}

// listSources expands folders, with everything in them, in the order of their
// names. Files and folders whose names begin with a dot are left out of folders: they
// are the system's. What cannot be looked at is refused by name.
func listSources(ctx context.Context, sources []string) (files []string, refused []Refusal, err error) {
	add := func(p string) error {
		if err := ctx.Err(); err != nil {
			return err
		}
		if files = append(files, p); len(files) > maxSources {
			return fmt.Errorf("import: more than %d files; import them folder by folder", maxSources)
		}
		return nil
	}
	for _, src := range sources {
		st, err := os.Stat(src)
		switch {
		case err != nil:
			refused = append(refused, Refusal{src, openWhy(src, err)})
			continue
		case !st.IsDir():
			if err := add(src); err != nil {
				return nil, nil, err
			}
			continue
		}
		// With the separator behind it, a link to a folder is walked as well.
		root := src + string(filepath.Separator)
		err = filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
			if err != nil {
				refused = append(refused, Refusal{p, openWhy(p, err)})
				return nil
			}
			if p != root && strings.HasPrefix(d.Name(), ".") {
				if d.IsDir() {
					return fs.SkipDir
				}
				return nil
			}
			if d.IsDir() {
				return nil
			}
			return add(p)
		})
		if err != nil {
			return nil, nil, err
		}
	}
	return files, refused, nil
}

// readSource reads a whole photo file. The error is a sentence for the user.
func readSource(path string) ([]byte, error) {
	name := photo.Name(path)
	f, st, err := openOrdinary(path, "photo")
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var head [16]byte
	n, err := io.ReadFull(f, head[:])
	if err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, io.ErrUnexpectedEOF) {
		return nil, fmt.Errorf("%s cannot be read (%w); copy it again", name, cause(err))
	}
	if _, err := photo.Sniff(head[:n], name); err != nil {
		return nil, err
	}
	if st.Size() > photo.MaxBytes {
		return nil, tooLarge(name, st.Size())
	}
	data := make([]byte, 0, st.Size()+512)
	data = append(data, head[:n]...)
	rest, err := io.ReadAll(io.LimitReader(f, photo.MaxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("%s cannot be read (%w); copy it again", name, cause(err))
	}
	if data = append(data, rest...); len(data) > photo.MaxBytes {
		return nil, tooLarge(name, int64(len(data)))
	}
	return data, nil
}

func tooLarge(name string, size int64) error {
	return fmt.Errorf("%s has %d MiB, more than the %d that are taken in; save a smaller copy", name, size>>20, photo.MaxBytes>>20)
}

func openWhy(path string, err error) string {
	name := photo.Name(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return name + " is not there; check its name, and whether its card or disk is still connected"
	case errors.Is(err, fs.ErrPermission):
		return name + " may not be read; change its permissions or copy it"
	}
	return fmt.Sprintf("%s cannot be opened (%v); copy it again", name, cause(err))
}

// cause is a file error without its path, which may hold anything.
func cause(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// openOrdinary opens a file that somebody chose; what is the word for what it
// should be. The error is a sentence for the user. A device or pipe is not
// opened: reading it might never end.
func openOrdinary(path, what string) (*os.File, os.FileInfo, error) {
	st, err := os.Stat(path)
	if err != nil {
		return nil, nil, errors.New(openWhy(path, err))
	}
	if !st.Mode().IsRegular() {
		return nil, nil, fmt.Errorf("%s is not an ordinary file; choose the %s itself", photo.Name(path), what)
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, nil, errors.New(openWhy(path, err))
	}
	return f, st, nil
}
