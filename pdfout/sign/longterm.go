package sign

import (
	"context"
	"crypto/sha256"
	"crypto/x509"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"net/http"
	"time"

	"wornwood/pdfout/pdf"
)

// LongTermOptions say what to add to a signed report so that it can be checked
// for longer.
type LongTermOptions struct {
	Now    time.Time    // required
	Client *http.Client // nil: one that gives up after 30 seconds
	// Timestamp and TimestampURL are those of SignOptions.
	Timestamp    func(ctx context.Context, digest []byte) ([]byte, error)
	TimestampURL string
}

// ErrSelfMade says that no authority publishes anything about the signers.
var ErrSelfMade = errors.New("no certificate in the report comes from an authority that publishes which it has revoked, so there is nothing to embed")

// AddRevocation copies a signed report and appends the certificates of its
// signers and time-stamp authorities with what their issuers now say about
// revocation (PAdES level B-LT, ETSI EN 319 142-1; DSS of ISO 32000-2,
// 12.8.4.3). It asks the addresses named in the certificates. The signed bytes
// stay as they are. ErrSelfMade and ErrRevocation are wrapped where there is
// nothing to add or an authority does not answer.
func AddRevocation(ctx context.Context, in io.ReaderAt, size int64, out io.Writer, opt LongTermOptions) error {
	if err := addRevocation(ctx, in, size, out, opt); err != nil {
		return fmt.Errorf("add statements on revocation: %w", err)
	}
	return nil
}

func addRevocation(ctx context.Context, in io.ReaderAt, size int64, out io.Writer, opt LongTermOptions) error {
	f, err := openIntact(ctx, in, size)
	if err != nil {
		return err
	}
	chains, err := chainsIn(f.Last())
	if err != nil {
		return err
	}
	got, any := &fetched{}, false
	for _, chain := range chains {
		for _, c := range chain {
			any = any || publishes(c)
		}
	}
	if !any {
		return ErrSelfMade
	}
	for _, chain := range chains {
		if err := fetchStatements(ctx, opt.Client, chain, got); err != nil {
			return err
		}
	}
	b, err := newBuilder(f)
	if err != nil {
		return err
	}
	if err := b.putStatements(f.Last(), got); err != nil {
		return err
	}
	b.putTable(f.Last(), SignOptions{Now: opt.Now, Field: "DSS"})
	return appendTo(ctx, in, size, out, b.out.Bytes())
}

// AddTimestamp copies a signed report and appends a time-stamp over the whole
// of it (ISO 32000-2, 12.8.5), which extends its life: what is embedded is then
// as old as the stamp says. It can be done again and again.
func AddTimestamp(ctx context.Context, in io.ReaderAt, size int64, out io.Writer, opt LongTermOptions) error {
	if err := addTimestamp(ctx, in, size, out, opt); err != nil {
		return fmt.Errorf("add time-stamp: %w", err)
	}
	return nil
}

func addTimestamp(ctx context.Context, in io.ReaderAt, size int64, out io.Writer, opt LongTermOptions) error {
	stamp := opt.Timestamp
	if stamp == nil {
		if opt.TimestampURL == "" {
			return errors.New("no time-stamp authority is named")
		}
		stamp = func(ctx context.Context, digest []byte) ([]byte, error) {
			return requestToken(ctx, opt.Client, opt.TimestampURL, digest)
		}
	}
	f, err := openIntact(ctx, in, size)
	if err != nil {
		return err
	}
	u, err := stampUpdate(f, opt)
	if err != nil {
		return err
	}
	sum := sha256.New()
	if err := copyHashed(ctx, sum, in, size); err != nil {
		return err
	}
	sum.Write(u.bytes[:u.gap.Start])
	sum.Write(u.bytes[u.gap.End:])
	token, err := stamp(ctx, sum.Sum(nil))
	if err != nil {
		return err
	}
	if len(token) > reserved {
		return fmt.Errorf("%w: the authority's token has %d bytes, more than there is room for", ErrTimestamp, len(token))
	}
	hex.Encode(u.bytes[u.gap.Start+1:], token)
	return appendTo(ctx, in, size, out, u.bytes)
}

// openIntact opens a report whose signatures hold; what is altered is not to be
// given a longer life.
func openIntact(ctx context.Context, in io.ReaderAt, size int64) (*pdf.File, error) {
	rep, err := Verify(ctx, in, size, VerifyOptions{})
	if err != nil {
		return nil, err
	}
	if !rep.OK {
		return nil, fmt.Errorf("%w: %s", ErrAltered, rep.worst())
	}
	return pdf.Open(in, size, pdf.Limits{})
}

func appendTo(ctx context.Context, in io.ReaderAt, size int64, out io.Writer, more []byte) error {
	if err := copyHashed(ctx, out, in, size); err != nil {
		return err
	}
	if _, err := out.Write(more); err != nil {
		return fmt.Errorf("write report: %w", err)
	}
	return nil
}

// newBuilder begins an update of a file.
func newBuilder(f *pdf.File) (*builder, error) {
	next, ok := f.Last().Trailer()["Size"].(int64)
	if !ok || next < 1 || next > 1<<30 {
		return nil, errors.New("the PDF's trailer is broken")
	}
	b := &builder{size: f.Size(), offsets: map[int]int64{}, next: int(next)}
	if last := f.Last().Revision(); last.End == last.Mark {
		b.out.WriteByte('\n')
	}
	return b, nil
}

// chainsIn lists for each signature and time-stamp the signer's certificate
// followed by its issuers, as far as they came along.
func chainsIn(v pdf.View) ([][]*x509.Certificate, error) {
	fields, err := readFields(v)
	if err != nil {
		return nil, err
	}
	var out [][]*x509.Certificate
	for i := range fields {
		if fields[i].value == nil {
			continue
		}
		d, err := v.Dict(fields[i].value)
		if err != nil {
			return nil, err
		}
		contents, _ := d["Contents"].(pdf.String)
		kind := oidData
		if d["Type"] == pdf.Name("DocTimeStamp") {
			kind = oidTSTInfo
		}
		c, err := parseCMS([]byte(contents), kind)
		if err != nil {
			return nil, err
		}
		out = append(out, c.line())
		if token, err := c.timeToken(); err == nil && token != nil {
			if t, err := parseCMS(token, oidTSTInfo); err == nil {
				out = append(out, t.line())
			}
		}
	}
	return out, nil
}

// line is the signer's certificate followed by issuers out of the bag.
func (c *cms) line() []*x509.Certificate {
	line := []*x509.Certificate{c.cert}
	for len(line) <= maxCertificates {
		last, found := line[len(line)-1], false
		for _, b := range c.bag {
			if b != last && !b.Equal(last) && last.CheckSignatureFrom(b) == nil {
				line, found = append(line, b), true
				break
			}
		}
		if !found {
			break
		}
	}
	return line
}

// putStatements writes the security store: what was there, and what is new.
func (b *builder) putStatements(v pdf.View, got *fetched) error {
	ref, cat, err := v.Catalog()
	if err != nil {
		return err
	}
	old, err := v.Dict(cat["DSS"])
	if err != nil {
		return err
	}
	dss := pdf.Dict{"Type": pdf.Name("DSS")}
	for k, o := range old {
		dss[k] = o
	}
	seen := map[[32]byte]bool{}
	add := func(k pdf.Name, ders [][]byte) error {
		list, err := v.Array(dss[k])
		if err != nil {
			return err
		}
		list = append(pdf.Array{}, list...)
		for _, der := range ders {
			if sum := sha256.Sum256(der); seen[sum] {
				continue
			} else {
				seen[sum] = true
			}
			z, err := pdf.Deflate(der)
			if err != nil {
				return err
			}
			r := b.alloc()
			if err := b.put(r, pdf.NewStream(pdf.Dict{"Filter": pdf.Name("FlateDecode")}, z)); err != nil {
				return err
			}
			list = append(list, r)
		}
		if len(list) > 0 {
			dss[k] = list
		}
		return nil
	}
	var certs [][]byte
	for _, c := range got.certs {
		certs = append(certs, c.Raw)
	}
	if err := errors.Join(add("Certs", certs), add("OCSPs", got.ocsp), add("CRLs", got.crls)); err != nil {
		return err
	}
	store := b.alloc()
	if err := b.put(store, dss); err != nil {
		return err
	}
	cat = cat.Clone()
	cat["DSS"] = store
	return b.put(ref, cat)
}

// stampUpdate builds the update that brings a time-stamp over the file: an
// invisible field on the first page.
func stampUpdate(f *pdf.File, opt LongTermOptions) (*update, error) {
	v := f.Last()
	_, cat, err := v.Catalog()
	if err != nil {
		return nil, err
	}
	formRef, ok := cat["AcroForm"].(pdf.Ref)
	pages, err := v.Pages()
	if err != nil {
		return nil, err
	}
	if !ok || len(pages) == 0 {
		return nil, errors.New("the PDF is not built as reports are")
	}
	form, err := v.Dict(formRef)
	if err != nil {
		return nil, err
	}
	page, err := v.Dict(pages[0])
	if err != nil {
		return nil, err
	}
	fields, err := v.Array(form["Fields"])
	if err != nil {
		return nil, err
	}
	annots, err := v.Array(page["Annots"])
	if err != nil {
		return nil, err
	}
	b, err := newBuilder(f)
	if err != nil {
		return nil, err
	}
	field, sig := b.alloc(), b.alloc()
	form, page = form.Clone(), page.Clone()
	form["Fields"] = append(append(pdf.Array{}, fields...), field)
	page["Annots"] = append(append(pdf.Array{}, annots...), field)
	zero := int64(0)
	widget := pdf.Dict{"Type": pdf.Name("Annot"), "Subtype": pdf.Name("Widget"), "FT": pdf.Name("Sig"), "T": pdf.Text(fmt.Sprintf("Time-stamp %d", len(fields)-1)),
		"TU": pdf.Text("Time-stamp over the whole report"), "F": int64(132), "P": pages[0], "Rect": pdf.Array{zero, zero, zero, zero}, "V": sig}
	for _, o := range []struct {
		ref pdf.Ref
		o   pdf.Object
	}{{formRef, form}, {pages[0], page}, {field, widget}} {
		if err := b.put(o.ref, o.o); err != nil {
			return nil, err
		}
	}
	u := &update{}
	at := b.putSignature(sig, pdf.Dict{"Type": pdf.Name("DocTimeStamp"), "Filter": pdf.Name("Adobe.PPKLite"), "SubFilter": pdf.Name("ETSI.RFC3161")}, u)
	b.putTable(v, SignOptions{Now: opt.Now, Field: "Time-stamp"})
	u.bytes = b.out.Bytes()
	u.setRange(at, f.Size())
	return u, nil
}
