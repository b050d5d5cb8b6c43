package sign

import (
	"wornwood/pdfout/pdf"
)

// field is one signature field of a form, merged with its widget.
type field struct {
	name  string // fully qualified
	ref   pdf.Ref
	dict  pdf.Dict
	rect  pdf.Rect
	value pdf.Object // V, normally a reference to the signature; nil when empty
}

// maxFields bounds the form; a report has two fields.
const maxFields = 200

// readFields lists the signature fields of the form.
func readFields(v pdf.View) ([]field, error) {
	_, cat, err := v.Catalog()
	if err != nil {
		return nil, err
	}
	form, err := v.Dict(cat["AcroForm"])
	if err != nil || form == nil {
		return nil, err
	}
	list, err := v.Array(form["Fields"])
	if err != nil {
		return nil, err
	}
	r := &fieldReader{v: v, seen: map[pdf.Ref]bool{}}
	err = r.walk(list, "", nil)
	return r.fields, err
}

type fieldReader struct {
	v      pdf.View
	seen   map[pdf.Ref]bool
	fields []field
}

func (r *fieldReader) walk(list pdf.Array, prefix string, kind pdf.Object) error {
	for _, o := range list {
		ref, ok := o.(pdf.Ref)
		if !ok || r.seen[ref] {
			return errForm
		}
		if r.seen[ref] = true; len(r.seen) > maxFields {
			return errForm
		}
		d, err := r.v.Dict(ref)
		if err != nil {
			return err
		}
		name := prefix
		if t, ok := d["T"].(pdf.String); ok {
			if name != "" {
				name += "."
			}
			name += pdf.PlainText(t)
		}
		ft := d["FT"]
		if ft == nil {
			ft = kind
		}
		kids, err := r.v.Array(d["Kids"])
		if err != nil {
			return err
		}
		if ft == pdf.Name("Sig") && d["T"] != nil {
			r.fields = append(r.fields, field{name: name, ref: ref, dict: d, rect: readRect(d["Rect"]), value: d["V"]})
		}
		if err := r.walk(kids, name, ft); err != nil {
			return err
		}
	}
	return nil
}

func readRect(o pdf.Object) (r pdf.Rect) {
	a, ok := o.(pdf.Array)
	if !ok || len(a) != 4 {
		return r
	}
	for i := range r {
		r[i], _ = pdf.Number(a[i])
	}
	return r
}
