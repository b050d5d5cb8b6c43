package sign

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"hash"
	"io"
	"net/http"
	"time"

	"wornwood/pdfout/pdf"
)

// The names of the two prepared fields.
const (
	FieldExaminer = "Examiner"
	FieldBuyer    = "Buyer"
)

// SignOptions say how to sign.
type SignOptions struct {
	Field    string    // FieldExaminer or FieldBuyer; must exist and be empty
	Now      time.Time // the claimed time; required
	Name     string    // who signs; default the name in the certificate
	Reason   string
	Location string

	// Appearance are the lines drawn in the field, with Font, a TrueType font;
	// without lines the field shows nothing.
	Appearance []string
	Font       []byte

	// Timestamp returns an RFC 3161 token over a SHA-256 digest. When it is
	// nil and TimestampURL is set, that authority is asked with Client.
	Timestamp    func(ctx context.Context, digest []byte) ([]byte, error)
	TimestampURL string
	Client       *http.Client // nil: one that gives up after 30 seconds
}

// Errors that Sign wraps, each with a sentence around it.
var (
	ErrNoField = errors.New("the PDF has no such signature field")
	ErrSigned  = errors.New("the field is signed already")
	ErrAltered = errors.New("the PDF was altered since it was signed")
	ErrExpired = errors.New("the certificate of the signing key is not valid at this time")
)

// reserved is the place kept for the signature, in bytes before they become
// hexadecimal digits. Certificates with chain and a time-stamp take up to
// about 12 KiB.
const reserved = 16 << 10

// Sign copies the PDF of size bytes from in to out and appends a signature by
// id. The bytes of in stay as they are. The examiner's signature certifies the
// document and allows nothing but signing in the fields that exist (DocMDP,
// P=2); a countersignature is refused when the first signature is not intact.
//
// out holds nothing useful when an error is returned. An error that wraps
// ErrTimestamp means that only the time-stamp failed.
func Sign(ctx context.Context, in io.ReaderAt, size int64, out io.Writer, id *Identity, opt SignOptions) error {
	if err := sign(ctx, in, size, out, id, opt); err != nil {
		return fmt.Errorf("sign report: %w", err)
	}
	return nil
}

func sign(ctx context.Context, in io.ReaderAt, size int64, out io.Writer, id *Identity, opt SignOptions) error {
	if opt.Now.IsZero() {
		return errors.New("the time of signing is missing")
	}
	if err := id.Usable(opt.Now); err != nil {
		return err
	}
	f, fld, err := checkBefore(ctx, in, size, opt)
	if err != nil {
		return err
	}
	u, err := prepare(f, fld, id, opt)
	if err != nil {
		return err
	}
	return u.signTo(ctx, in, size, out, id, opt)
}

// signTo copies the file and appends the update with its signature.
func (u *update) signTo(ctx context.Context, in io.ReaderAt, size int64, out io.Writer, id *Identity, opt SignOptions) error {
	sum := sha256.New()
	if err := copyHashed(ctx, io.MultiWriter(out, sum), in, size); err != nil {
		return err
	}
	sum.Write(u.bytes[:u.gap.Start])
	sum.Write(u.bytes[u.gap.End:])
	if err := u.fill(ctx, id, sum, opt); err != nil {
		return err
	}
	if _, err := out.Write(u.bytes); err != nil {
		return fmt.Errorf("write signature: %w", err)
	}
	return nil
}

// copyHashed copies in pieces so that a cancelled context is noticed.
func copyHashed(ctx context.Context, w io.Writer, r io.ReaderAt, size int64) error {
	buf := make([]byte, 256<<10)
	section := io.NewSectionReader(r, 0, size)
	for {
		if err := ctx.Err(); err != nil {
			return err
		}
		n, err := section.Read(buf)
		if _, werr := w.Write(buf[:n]); werr != nil {
			return fmt.Errorf("copy report: %w", werr)
		}
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return fmt.Errorf("read report: %w", err)
		}
	}
}

// fill makes the signature over what sum has seen and sets it into its place.
func (u *update) fill(ctx context.Context, id *Identity, sum hash.Hash, opt SignOptions) error {
	der, err := makeCMS(id, sum.Sum(nil), opt.stamper(ctx))
	if err != nil {
		return err
	}
	if len(der) > reserved {
		return fmt.Errorf("the signature has %d bytes and its place only %d; use a key with fewer certificates", len(der), reserved)
	}
	const digits = "0123456789ABCDEF"
	place := u.bytes[u.gap.Start+1 : u.gap.End-1]
	for i, b := range der {
		place[2*i], place[2*i+1] = digits[b>>4], digits[b&15]
	}
	return nil
}

func (opt SignOptions) stamper(ctx context.Context) func([]byte) ([]byte, error) {
	switch {
	case opt.Timestamp != nil:
		return func(digest []byte) ([]byte, error) {
			token, err := opt.Timestamp(ctx, digest)
			if err != nil && !errors.Is(err, ErrTimestamp) {
				err = fmt.Errorf("%w: %w", ErrTimestamp, err)
			}
			return token, err
		}
	case opt.TimestampURL != "":
		return func(digest []byte) ([]byte, error) {
			return requestToken(ctx, opt.Client, opt.TimestampURL, digest)
		}
	}
	return nil
}

// checkBefore sees that the file is one to sign: whole, with the field empty.
func checkBefore(ctx context.Context, in io.ReaderAt, size int64, opt SignOptions) (*pdf.File, *field, error) {
	f, err := pdf.Open(in, size, pdf.Limits{})
	if err != nil {
		return nil, nil, err
	}
	last := f.Last().Revision()
	switch {
	case f.Trailing != 0 || last.Hybrid:
		return nil, nil, ErrAltered
	case last.Stream:
		return nil, nil, errors.New("the PDF was last changed by a program that stores its tables in another way; countersign with that program")
	}
	fields, err := readFields(f.Last())
	if err != nil {
		return nil, nil, err
	}
	var mine *field
	signed := false
	for i := range fields {
		signed = signed || fields[i].value != nil
		if fields[i].name == opt.Field {
			mine = &fields[i]
		}
	}
	switch {
	case mine == nil:
		return nil, nil, fmt.Errorf("%w: %q", ErrNoField, opt.Field)
	case mine.value != nil:
		return nil, nil, fmt.Errorf("%w: %s", ErrSigned, opt.Field)
	case opt.Field != FieldExaminer && !signed:
		return nil, nil, errors.New("the examiner has not signed the report yet")
	case opt.Field == FieldExaminer && signed:
		return nil, nil, errors.New("the examiner has to sign first")
	}
	if opt.Field == FieldExaminer {
		return f, mine, nil
	}
	report, err := Verify(ctx, in, size, VerifyOptions{Now: opt.Now})
	if err != nil {
		return nil, nil, err
	}
	if !report.OK {
		return nil, nil, fmt.Errorf("%w: %s", ErrAltered, report.worst())
	}
	return f, mine, nil
}
