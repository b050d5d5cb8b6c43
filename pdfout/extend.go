package pdfout

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"time"

	"wornwood/pdfout/sign"
)

// ExtendOptions say how a signed report is made to be checkable for longer.
type ExtendOptions struct {
	Now          time.Time // required
	TimestampURL string    // of a time-stamp authority; "" adds no time-stamp over the file
	Client       *http.Client
}

// Extended says what was added.
type Extended struct {
	Revocation bool   // the authorities' statements on the signers' certificates
	Why        string // why there are none, "" when there are
	Timestamp  bool   // a time-stamp over the whole file
}

// Extend copies the report at path to a new file with what makes it checkable
// for longer: the statements that the signers' authorities publish on revoked
// certificates, where there are such authorities, then a time-stamp over the
// whole. The signed bytes stay as they are. It fails where nothing could be
// added, and where an authority does not answer; to is not there then.
func Extend(ctx context.Context, path, to string, opt ExtendOptions) (*Extended, error) {
	did, err := extend(ctx, path, to, opt)
	if err != nil {
		return nil, fmt.Errorf("extend %s: %w", filepath.Base(path), err)
	}
	return did, nil
}

func extend(ctx context.Context, path, to string, opt ExtendOptions) (*Extended, error) {
	if _, err := os.Lstat(to); err == nil {
		return nil, fmt.Errorf("%s is there already; give a new file", filepath.Base(to))
	}
	in, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer in.Close()
	dir, err := os.MkdirTemp(filepath.Dir(to), ".wornwood-extend-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	did, lt := &Extended{}, sign.LongTermOptions{Now: opt.Now, Client: opt.Client, TimestampURL: opt.TimestampURL}
	now := in
	step := func(name string, add func(context.Context, io.ReaderAt, int64, io.Writer, sign.LongTermOptions) error) error {
		st, err := now.Stat()
		if err != nil {
			return err
		}
		f, err := os.OpenFile(filepath.Join(dir, name), os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o644)
		if err != nil {
			return err
		}
		if err := add(ctx, now, st.Size(), f, lt); err != nil {
			return errors.Join(err, f.Close())
		}
		if now != in {
			now.Close()
		}
		now = f
		return nil
	}
	switch err := step("revocation", sign.AddRevocation); {
	case errors.Is(err, sign.ErrSelfMade):
		did.Why = sign.ErrSelfMade.Error()
	case err != nil:
		return nil, err
	default:
		did.Revocation = true
	}
	if opt.TimestampURL != "" {
		if err := step("stamped", sign.AddTimestamp); err != nil {
			return nil, err
		}
		did.Timestamp = true
	}
	if now == in {
		return nil, fmt.Errorf("%s; name a time-stamp authority to have the report stamped", did.Why)
	}
	defer now.Close()
	if err := now.Sync(); err != nil {
		return nil, err
	}
	// A link fails where the name was taken meanwhile; renaming would replace it.
	return did, os.Link(now.Name(), to)
}
