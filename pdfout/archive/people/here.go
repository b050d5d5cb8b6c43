package people

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"os/user"

	"wornwood/pdfout/archive"
)

// LocalName is whoever runs the program, as the operating system has it.
func LocalName() string {
	name := "somebody"
	if u, err := user.Current(); err == nil && u.Username != "" {
		name = u.Username
	}
	if host, err := os.Hostname(); err == nil {
		name += "@" + host
	}
	return name
}

// Kept tells whether readings of the archive in a folder are written down: it is
// shared, or it is served.
func Kept(a *archive.Archive, dir string) (bool, error) {
	if a.Shared() != nil {
		return true, nil
	}
	list, err := Load(dir)
	if errors.Is(err, fs.ErrPermission) {
		return true, nil // there is a list, which the service alone reads
	}
	return err == nil && len(list.People()) > 0, err
}

// Reads writes down that whoever runs the program reads reports of the archive in
// a folder, where readings of it are kept. Where it cannot be written down,
// nothing is to be shown.
func Reads(a *archive.Archive, dir, what string, hashes ...string) error {
	kept, err := Kept(a, dir)
	if err != nil || !kept {
		return err
	}
	return a.Reading(LocalName(), what, "", hashes...)
}

// ReadsAll is Reads for everything that answers a query, before it is exported.
func ReadsAll(ctx context.Context, a *archive.Archive, dir string, q *archive.Query) error {
	kept, err := Kept(a, dir)
	if err != nil || !kept {
		return err
	}
	all := &hashes{}
	if _, err := a.Export(ctx, q, all); err != nil {
		return err
	}
	return a.Reading(LocalName(), archive.ReadExport, "", all.list...)
}

// hashes is an export of which only the reports' hashes are kept.
type hashes struct{ list []string }

func (l *hashes) Write(r archive.Row) error {
	l.list = append(l.list, r.Hash)
	return nil
}

func (l *hashes) Close() error { return nil }
