package pdfout

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"strings"
	"unicode"

	"wornwood/pdfout/sign"
)

// Extracted is one file that was taken out of a report.
type Extracted struct {
	Name   string `json:"name"`   // inside the report
	File   string `json:"file"`   // below the folder, with forward slashes
	Size   int64  `json:"size"`   // bytes
	SHA256 string `json:"sha256"` // of what was written
}

// ExtractOptions say how files are taken out of a report.
type ExtractOptions struct {
	Verify VerifyOptions
	Anyway bool // also from a report that does not pass Verify
}

// Extract writes the files inside the report at path into the folder dir, which
// is made when it is not there: record, grade, list, rubric, and the originals
// below "originals". Names are made safe, nothing outside dir is touched, and
// nothing is written over: when a file of one of the names is there, nothing is
// written at all. A report that does not pass Verify is refused unless Anyway
// is set. The verdict is returned in either case.
func Extract(ctx context.Context, report, dir string, opt ExtractOptions) ([]Extracted, *Verdict, error) {
	f, err := os.Open(report)
	if err != nil {
		return nil, nil, fmt.Errorf("take files out of report: %w", err)
	}
	defer f.Close()
	st, err := f.Stat()
	if err == nil && !st.Mode().IsRegular() {
		err = fmt.Errorf("%s is not a file", report)
	}
	if err != nil {
		return nil, nil, fmt.Errorf("take files out of report: %w", err)
	}
	v, rep, err := verifyFile(ctx, f, st.Size(), opt.Verify)
	if err != nil {
		return nil, nil, err
	}
	if !v.OK && !opt.Anyway {
		return nil, v, fmt.Errorf("take files out of report: it does not pass the check, and nothing was written: %s", v.Worst())
	}
	out, err := writeInside(ctx, rep.Attachments, dir)
	if err != nil {
		return nil, v, fmt.Errorf("take files out of report: %w", err)
	}
	return out, v, nil
}

func writeInside(ctx context.Context, list []sign.Attachment, dir string) ([]Extracted, error) {
	if len(list) == 0 {
		return nil, errors.New("there are no files inside")
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, err
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	names, err := freeNames(root, list)
	if err != nil {
		return nil, err
	}
	var out []Extracted
	for i, a := range list {
		sum, err := writeOut(ctx, root, names[i], a)
		if err != nil {
			// What was written before is whole and stays; the error says where
			// it stopped.
			return nil, fmt.Errorf("%s, after %s: %w", names[i], countOf(len(out), "file"), err)
		}
		out = append(out, Extracted{Name: a.Name, File: names[i], Size: a.Size, SHA256: sum})
	}
	return out, nil
}

// freeNames are safe names for the attachments, none of which is taken.
func freeNames(root *os.Root, list []sign.Attachment) ([]string, error) {
	names, used := make([]string, len(list)), map[string]bool{}
	for i, a := range list {
		name := safeName(a.Name)
		// Some systems take names for the same that differ in case only.
		for n := 2; used[strings.ToLower(name)]; n++ {
			name = fmt.Sprintf("%s (%d)", safeName(a.Name), n)
		}
		used[strings.ToLower(name)] = true
		switch _, err := root.Lstat(name); {
		case err == nil:
			return nil, fmt.Errorf("%s is there already, and nothing is written over; give another folder", name)
		case !errors.Is(err, fs.ErrNotExist):
			return nil, err
		}
		names[i] = name
	}
	return names, nil
}

// reserved are the names that one system keeps for devices, whatever stands
// behind their first point.
var reserved = map[string]bool{"con": true, "prn": true, "aux": true, "nul": true}

// safeName is a name for a file below a folder: at most one folder, that of the
// originals, and no character that any system takes amiss.
func safeName(name string) string {
	folder := ""
	if rest, ok := strings.CutPrefix(name, OriginalsFolder); ok {
		folder, name = OriginalsFolder, rest
	}
	name = strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) || strings.ContainsRune(`<>:"/\|?*`, r) || r == unicode.ReplacementChar {
			return '_'
		}
		return r
	}, name)
	if r := []rune(name); len(r) > 60 {
		name = string(r[:40]) + "…" + string(r[len(r)-19:])
	}
	name = strings.TrimLeft(strings.TrimRight(name, ". "), " ")
	stem, _, _ := strings.Cut(strings.ToLower(name), ".")
	device := len(stem) == 4 && (strings.HasPrefix(stem, "com") || strings.HasPrefix(stem, "lpt"))
	if name == "" || name[0] == '.' || reserved[stem] || device {
		name = "_" + name
	}
	return path.Join(folder, name)
}

// writeOut copies one attachment to a new file and returns its SHA-256.
func writeOut(ctx context.Context, root *os.Root, name string, a sign.Attachment) (sum string, err error) {
	if folder := path.Dir(name); folder != "." {
		if err := root.MkdirAll(folder, 0o755); err != nil {
			return "", err
		}
	}
	f, err := root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return "", err
	}
	defer func() {
		if err = errors.Join(err, f.Close()); err != nil {
			err = errors.Join(err, root.Remove(name)) // half a file is none
		}
	}()
	return sumOf(ctx, io.TeeReader(a.Open(), f), make([]byte, 256<<10))
}
