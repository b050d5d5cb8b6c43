package sign

import (
	"crypto/md5" //nolint:gosec // the format's own checksum, not a protection
	"errors"
	"fmt"

	"wornwood/pdfout/pdf"
)

// maxAttachments bounds the list; a report has one attachment.
const maxAttachments = 64

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
	left int64
	seen map[pdf.Ref]bool
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
	r.left -= int64(len(a.Data))
	r.checksum(a, s)
	r.v.report.Attachments = append(r.v.report.Attachments, a)
	return nil
}

func (r *attachmentReader) checksum(a Attachment, s *pdf.Stream) {
	params, err := r.view.Dict(s.Dict["Params"])
	if err != nil || params == nil {
		return
	}
	if sum, ok := params["CheckSum"].(pdf.String); ok {
		if got := md5.Sum(a.Data); string(got[:]) != string(sum) {
			r.broken(a.Name, "it does not fit its own checksum")
		}
	}
	if n, ok := params["Size"].(int64); ok && n != int64(len(a.Data)) {
		r.broken(a.Name, "it does not have the size it says")
	}
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
