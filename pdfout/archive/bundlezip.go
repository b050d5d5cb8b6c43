package archive

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"path"
	"strings"

	"wornwood/pdfout/sign"
)

// packing is a zip that keeps the sums of what goes in.
type packing struct {
	z    *zip.Writer
	b    *bundling
	sums strings.Builder
}

// add writes a file; what is packed already is stored as it is.
func (p *packing) add(name string, r io.Reader) (hash string, err error) {
	h := &zip.FileHeader{Name: name, Method: zip.Deflate, Modified: p.b.proof.Head.Time.UTC()}
	if path.Ext(name) == ".pdf" {
		h.Method = zip.Store
	}
	h.SetMode(0o644)
	w, err := p.z.CreateHeader(h)
	if err != nil {
		return "", err
	}
	s := sha256.New()
	if _, err := io.Copy(io.MultiWriter(w, s), cancellable{p.b.ctx, r}); err != nil {
		return "", err
	}
	hash = hex.EncodeToString(s.Sum(nil))
	fmt.Fprintf(&p.sums, "%s  %s\n", hash, name)
	return hash, nil
}

func (p *packing) text(name string, data []byte) error {
	_, err := p.add(name, bytes.NewReader(data))
	return err
}

// write packs everything. What opens by itself comes first.
func (b *bundling) write(w io.Writer, s *summary) error {
	p := &packing{z: zip.NewWriter(w), b: b}
	page, err := s.html()
	if err != nil {
		return err
	}
	for _, f := range []struct {
		name string
		data []byte
	}{{"summary.html", page}, {"summary.txt", []byte(s.text())}, {"HOW-TO-CHECK.txt", []byte(b.howTo())}} {
		if err := p.text(f.name, f.data); err != nil {
			return err
		}
	}
	for i, r := range b.rows {
		b.opt.Progress(len(b.rows)+i, 2*len(b.rows), r.Hash)
		if err := p.stored(Ref{Files, r.Hash}, b.reportFile(r), r.Hash); err != nil {
			return err
		}
	}
	lines := map[int64]Entry{}
	for _, l := range b.shown.Lines {
		lines[l.Seq] = l.Entry
	}
	for _, r := range b.rows {
		if err := p.stored(Ref{Verdicts, r.Hash}, b.verdictFile(r), lines[r.Seq].Verdict); err != nil {
			return err
		}
	}
	if err := p.proof(); err != nil {
		return err
	}
	sums := []byte(p.sums.String())
	if err := p.text("SHA256SUMS", sums); err != nil {
		return err
	}
	if b.opt.Signer != nil {
		der, err := sign.SignContent(b.opt.Signer, sums)
		if err == nil {
			err = p.text("SHA256SUMS.p7s", der)
		}
		if err != nil {
			return err
		}
	}
	return p.z.Close()
}

func (b *bundling) reportFile(r Row) string  { return "reports/" + b.names[r.Hash] + ".pdf" }
func (b *bundling) verdictFile(r Row) string { return "verdicts/" + b.names[r.Hash] + ".json" }

// stored packs a file of the archive, which must be the one that the log names.
func (p *packing) stored(ref Ref, name, want string) error {
	f, err := p.b.a.store.Open(ref)
	if err != nil {
		return fmt.Errorf("%s %.16s: %w; 'wornwood archive check' says more", ref.Area, ref.Hash, err)
	}
	defer f.Close()
	got, err := p.add(name, f)
	if err == nil && got != want {
		err = fmt.Errorf("%s %.16s was altered since it was filed; 'wornwood archive check DIR --copy COPY' brings it back", ref.Area, ref.Hash)
	}
	return err
}

// The files of the proof.
func lineFile(n int64) string            { return fmt.Sprintf("proof/line-%d.json", n) }
func pathFile(n int64) string            { return fmt.Sprintf("proof/line-%d.path", n) }
func stampFile(size int64) string        { return fmt.Sprintf("proof/stamp-%d", size) }
func stampPathFile(n, size int64) string { return fmt.Sprintf("proof/line-%d.stamp-%d.path", n, size) }

// proof packs the proof twice: in one file for this program, and in pieces for
// the commands of HOW-TO-CHECK.txt.
func (p *packing) proof() error {
	f := p.b.proof
	whole, err := json.Marshal(f)
	if err != nil {
		return err
	}
	head, err := f.Head.Bytes()
	if err != nil {
		return err
	}
	type piece struct {
		name string
		data []byte
	}
	files := []piece{{"proof/proof.json", append(whole, '\n')}, {"proof/head.json", head}}
	if len(f.Signature) > 0 {
		files = append(files, piece{"proof/head.p7s", f.Signature})
	}
	for _, l := range f.Lines {
		files = append(files, piece{lineFile(l.Line), []byte(l.Text)}, piece{pathFile(l.Line), sided(l.Line, f.Head.Size, l.Path)})
	}
	for _, s := range f.Stamps {
		stamped, err := s.Head.Bytes()
		if err != nil {
			return err
		}
		files = append(files, piece{stampFile(s.Head.Size) + ".json", stamped}, piece{stampFile(s.Head.Size) + ".tsr", s.Token})
		for _, l := range s.Lines {
			files = append(files, piece{stampPathFile(l.Line, s.Head.Size), sided(l.Line, s.Head.Size, l.Path)})
		}
	}
	for _, f := range files {
		if err := p.text(f.name, f.data); err != nil {
			return err
		}
	}
	return nil
}

// sided is a path with the side on which each hash stands, a line each: the
// order of RFC 9162, 2.1.3.2.
func sided(line, size int64, path []string) []byte {
	var b strings.Builder
	fn, sn := line-1, size-1
	for _, h := range path {
		if fn&1 == 1 || fn == sn {
			fmt.Fprintf(&b, "left %s\n", h)
			for fn&1 == 0 && fn != 0 {
				fn, sn = fn>>1, sn>>1
			}
		} else {
			fmt.Fprintf(&b, "right %s\n", h)
		}
		fn, sn = fn>>1, sn>>1
	}
	return []byte(b.String())
}
