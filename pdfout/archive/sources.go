package archive

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// source is one thing to file.
type source struct {
	name string // the name it came under, without folders
	open func() (io.ReadCloser, error)
}

// walker finds what there is to file below some paths.
type walker struct {
	ctx    context.Context
	out    chan<- source
	not    string        // the archive's own folder
	passed int           // neither PDF nor mail
	large  chan struct{} // holds one token while a large attachment is in memory
}

func (w *walker) walk(paths []string) error {
	not, err := filepath.Abs(w.not)
	if err != nil {
		return err
	}
	for _, p := range paths {
		st, err := os.Stat(p)
		switch {
		case err != nil:
			err = w.failed(clean(filepath.Base(p), maxName), err)
		case st.IsDir():
			err = w.folder(p, not)
		default:
			err = w.file(p, st.Mode(), true)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// maxName bounds the name under which something came, in characters.
const maxName = 240

func (w *walker) folder(dir, not string) error {
	return filepath.WalkDir(dir, func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return w.failed(clean(filepath.Base(p), maxName), err)
		}
		if d.IsDir() {
			if abs, err := filepath.Abs(p); err == nil && abs == not {
				return filepath.SkipDir
			}
			return nil
		}
		return w.file(p, d.Type(), false)
	})
}

// file sends one file. Something that was named is always sent, as a report
// where it is no mail; inside folders, what is neither is passed over.
func (w *walker) file(path string, mode fs.FileMode, named bool) error {
	name := clean(filepath.Base(path), maxName)
	if !mode.IsRegular() {
		if !named {
			w.passed++
			return nil
		}
		return w.send(source{name, func() (io.ReadCloser, error) { return nil, errors.New("it is not a file") }})
	}
	switch w.kind(path) {
	case "mail":
		return w.mail(path, name, false)
	case "box":
		return w.mail(path, name, true)
	case "":
		if !named {
			w.passed++
			return nil
		}
	}
	return w.send(source{name, func() (io.ReadCloser, error) { return os.Open(path) }})
}

func (w *walker) kind(path string) string {
	switch strings.ToLower(filepath.Ext(path)) {
	case ".pdf":
		return "pdf"
	case ".eml":
		return "mail"
	case ".mbox", ".mbx":
		return "box"
	}
	f, err := os.Open(path)
	if err != nil {
		return ""
	}
	defer f.Close()
	head := make([]byte, 5)
	if _, err := io.ReadFull(f, head); err != nil {
		return ""
	}
	switch string(head) {
	case "%PDF-":
		return "pdf"
	case "From ":
		return "box"
	}
	return ""
}

func (w *walker) send(s source) error {
	select {
	case w.out <- s:
		return nil
	case <-w.ctx.Done():
		return context.Cause(w.ctx)
	}
}

// failed sends a thing that cannot be read, so that it is told and counted.
func (w *walker) failed(name string, err error) error {
	return w.send(source{name, func() (io.ReadCloser, error) { return nil, fmt.Errorf("it cannot be read: %w", err) }})
}
