package sign

import (
	"crypto/md5" //nolint:gosec // the format's own checksum, not a protection
	"errors"
	"fmt"

	"wornwood/pdfout/pdf"
)

// maxAttachments bounds the list; a report may carry its original photos.
const maxAttachments = 2048

// leftInPlace is from how many bytes on a file that is stored as it is, without
// a filter, is left where it is: it can be read from there whenever somebody
// wants it, and the signature covers it. Original photos are stored so.
const leftInPlace = 16 << 10

// readAttachments reads the embedded files of the state that the first
// signature covers.
func (v *verifier) readAttachments() error {
	view := v.file.Last()
	if v.first >= 0 && v.report.Signatures[v.first].revision >= 0 {
		view = v.file.At(v.report.Signatures[v.first].revision)
	}
	_, cat, err := view.Catalog()
	if err != nil {
		return err
	}
	names, err := view.Dict(cat["Names"])
	if err != nil {
		return err
	}
	r := &attachmentReader{v: v, view: view, left: v.opt.AttachmentBytes, seen: map[pdf.Ref]bool{}}
	return r.tree(names["EmbeddedFiles"], 0)
}

type attachmentReader struct {
	v    *verifier
	view pdf.View
	left int64 // bytes that may still be read into memory
	// inPlace counts the bytes that are left where they are.
	inPlace int64
	seen    map[pdf.Ref]bool
}

// tree walks a name tree (ISO 32000-1, 7.9.6).
func (r *attachmentReader) tree(o pdf.Object, depth int) error {
	if ref, ok := o.(pdf.Ref); ok {
		if r.seen[ref] || depth > 16 {
			return fmt.Errorf("%w: the list of attachments runs in a circle", pdf.ErrMalformed)
		}
		r.seen[ref] = true
	}
	node, err := r.view.Dict(o)
	if err != nil || node == nil {
		return err
	}
	names, err := r.view.Array(node["Names"])
	if err != nil {
		return err
	}
	for i := 1; i < len(names); i += 2 {
		if len(r.v.report.Attachments) >= maxAttachments {
			return fmt.Errorf("%w: more than %d attachments", pdf.ErrLimit, maxAttachments)
		}
		if err := r.file(names[i]); err != nil {
			return err
		}
	}
	kids, err := r.view.Array(node["Kids"])
	if err != nil {
		return err
	}
	for _, k := range kids {
		if err := r.tree(k, depth+1); err != nil {
			return err
		}
	}
	return nil
}

func (r *attachmentReader) file(o pdf.Object) error {
	spec, err := r.view.Dict(o)
	if err != nil || spec == nil {
		return err
	}
	a := Attachment{Name: r.text(spec, "UF"), Description: r.text(spec, "Desc")}
	if a.Name == "" {
		a.Name = r.text(spec, "F")
	}
	a.Name = printable(a.Name)
	rel, _ := spec["AFRelationship"].(pdf.Name)
	a.Relationship = printable(string(rel))
	if _, twice := r.v.report.Attachment(a.Name); twice {
		r.broken(a.Name, "there are two of that name")
		return nil
	}
	ef, err := r.view.Dict(spec["EF"])
	if err != nil {
		return err
	}
	// Two programs could take different ones of two files.
	if ef["F"] != nil && ef["UF"] != nil && !pdf.Equal(ef["F"], ef["UF"]) {
		r.broken(a.Name, "it holds two different files under one name")
		return nil
	}
	content := ef["UF"]
	if content == nil {
		content = ef["F"]
	}
	o, err = r.view.Resolve(content)
	if err != nil {
		return err
	}
	s, ok := o.(*pdf.Stream)
	if !ok {
		r.broken(a.Name, "it is empty")
		return nil
	}
	media, _ := s.Dict["Subtype"].(pdf.Name)
	a.MediaType = printable(string(media))
	if s.Dict["Filter"] == nil && s.RawLen() > leftInPlace {
		return r.leave(a, s)
	}
	if a.Data, err = s.Decode(r.left); err != nil {
		if !pdf.IsRefusal(err) {
			return err
		}
		why := "it is damaged, or packed in a way that is not read here"
		if errors.Is(err, pdf.ErrLimit) {
			why = "it is larger than this program reads"
		}
		r.broken(a.Name, why)
		return nil
	}
	a.Size = int64(len(a.Data))
	r.left -= a.Size
	if err := r.checksum(a, s); err != nil {
		return err
	}
	r.v.report.Attachments = append(r.v.report.Attachments, a)
	return nil
}

// leave notes a file without reading it. All such files together are no larger
// than the PDF, unless they lie over one another.
func (r *attachmentReader) leave(a Attachment, s *pdf.Stream) error {
	a.Size, a.in, a.at = s.RawLen(), r.v.file.Reader(), s.Offset
	if r.inPlace += a.Size; r.inPlace > r.v.file.Size() {
		r.broken(a.Name, "it lies over another one")
		return nil
	}
	if err := r.checksum(a, s); err != nil {
		return err
	}
	r.v.report.Attachments = append(r.v.report.Attachments, a)
	return nil
}

// checksum compares a file with the size and checksum that it came with. This
// program writes no checksum beside a file that is left in place.
func (r *attachmentReader) checksum(a Attachment, s *pdf.Stream) error {
	params, err := r.view.Dict(s.Dict["Params"])
	if err != nil || params == nil {
		return nil //nolint:nilerr // there is nothing to compare with, and the signature covers the file
	}
	if sum, ok := params["CheckSum"].(pdf.String); ok {
		h := md5.New() //nolint:gosec // the format's own
		if err := copyHashed(r.v.ctx, h, a.Open(), a.Size); err != nil {
			return err
		}
		if string(h.Sum(nil)) != string(sum) {
			r.broken(a.Name, "it does not fit its own checksum")
		}
	}
	if n, ok := params["Size"].(int64); ok && n != a.Size {
		r.broken(a.Name, "it does not have the size it says")
	}
	return nil
}

func (r *attachmentReader) broken(name, why string) {
	r.v.report.add(AttachmentBroken, Alarm, "", "The attached file %q cannot be relied on: %s.", name, why)
}

func (r *attachmentReader) text(d pdf.Dict, k pdf.Name) string {
	s, _ := d[k].(pdf.String)
	if len(s) > 4096 {
		s = s[:4096]
	}
	return pdf.PlainText(s)
}
