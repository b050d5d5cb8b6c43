package serve

import (
	"context"
	"errors"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"os"
	"path/filepath"
	"strings"

	"wornwood/pdfout/archive"
)

// What one form may carry.
const (
	mostFiles = 50
	mostBytes = archive.MaxReport + 1<<20
)

func (s *Server) fileForm(v *visit) error {
	return s.show(v, http.StatusOK, "file", "File reports", nil)
}

// fileReports takes the files of a form onto this machine's disk, and files them
// as the verb does.
func (s *Server) fileReports(v *visit) (err error) {
	v.r.Body = http.MaxBytesReader(v.w, v.r.Body, mostBytes)
	form, err := v.r.MultipartReader()
	if err != nil {
		return asked(http.StatusBadRequest, "The form could not be read.")
	}
	dir, err := os.MkdirTemp("", "wornwood-filing-")
	if err != nil {
		return fmt.Errorf("file reports: %w", err)
	}
	defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	paths, err := s.takeIn(v, form, dir)
	if err != nil {
		return err
	}
	if len(paths) == 0 {
		return asked(http.StatusBadRequest, "No file was chosen.")
	}
	if !s.filing.TryLock() {
		return asked(http.StatusServiceUnavailable, "Somebody else is filing just now. Try again in a minute; nothing was filed.")
	}
	defer s.filing.Unlock()
	tally, list, err := s.fileAll(v.r.Context(), paths)
	s.shelf.expire()
	if err != nil {
		return err
	}
	return s.show(v, http.StatusOK, "filed", "Filed", map[string]any{"Tally": tally, "Outcomes": list})
}

// takeIn writes the form's files into a folder, each into one of its own: the
// name it came under is kept. The first field is the token of the visit.
func (s *Server) takeIn(v *visit, form *multipart.Reader, dir string) (paths []string, err error) {
	known := false
	for {
		part, err := form.NextPart()
		if err == io.EOF {
			return paths, nil
		}
		if err != nil {
			return nil, formError(err)
		}
		switch {
		case part.FormName() == "token":
			b, err := io.ReadAll(io.LimitReader(part, 200))
			if err != nil {
				return nil, formError(err)
			}
			known = v.session.carries(string(b))
		case !known:
			return nil, asked(http.StatusForbidden, "The form is not of this visit. Go back, reload the page and choose the files again.")
		case part.FormName() == "reports" && part.FileName() != "":
			if len(paths) == mostFiles {
				return nil, asked(http.StatusRequestEntityTooLarge, "These are more than %d files; file them in several steps, or send a mailbox of them. Nothing was filed.", mostFiles)
			}
			path := filepath.Join(dir, fmt.Sprint(len(paths)), safeName(part.FileName()))
			if err := save(part, path); err != nil {
				return nil, err
			}
			paths = append(paths, path)
		}
	}
}

// safeName is the last part of a name that a browser gave, without what a folder
// does not take.
func safeName(name string) string {
	name = name[strings.LastIndexAny(name, `/\`)+1:]
	name = strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return '_'
		}
		return r
	}, strings.ToValidUTF8(name, "_"))
	for len(name) > 200 {
		name = name[len(name)-200:]
		name = strings.ToValidUTF8(name, "_")
	}
	if name == "" || name == "." || name == ".." {
		return "report.pdf"
	}
	return name
}

func save(part io.Reader, path string) error {
	if err := os.Mkdir(filepath.Dir(path), 0o700); err != nil {
		return fmt.Errorf("file reports: %w", err)
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return fmt.Errorf("file reports: %w", err)
	}
	if _, err := io.Copy(f, part); err != nil {
		return errors.Join(formError(err), f.Close())
	}
	return f.Close()
}

// formError is what went wrong while a form was on its way.
func formError(err error) error {
	var large *http.MaxBytesError
	if errors.As(err, &large) {
		return asked(http.StatusRequestEntityTooLarge, "These files are together larger than %d MiB; file them in several steps. Nothing was filed.", large.Limit>>20)
	}
	return asked(http.StatusBadRequest, "The files did not come through whole. Nothing was filed; send them again.")
}

// fileAll opens the archive to change it, and files.
func (s *Server) fileAll(ctx context.Context, paths []string) (tally archive.Tally, list []archive.Outcome, err error) {
	a, err := archive.Open(ctx, s.opt.Dir, archive.Options{Now: s.opt.Now})
	if err != nil {
		return tally, nil, err
	}
	defer func() { err = errors.Join(err, a.Close()) }()
	opt := s.opt.Verify
	opt.Now = s.opt.Now()
	tally, err = a.File(ctx, paths, archive.FileOptions{Verify: opt, Done: func(o archive.Outcome) { list = append(list, o) }})
	return tally, list, err
}

// refused lists what did not pass, with the reason.
func (s *Server) refused(v *visit) error {
	return s.shelf.use(func(a *archive.Archive) error {
		list, all, err := a.Pile(v.r.Context(), 500)
		if err != nil {
			return err
		}
		return s.show(v, http.StatusOK, "refused", "Refused", map[string]any{"Rows": list, "All": all})
	})
}
