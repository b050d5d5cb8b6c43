package pdf

import (
	"crypto/md5" //nolint:gosec // the format's own checksum, not a protection
	"time"
)

// addFields makes the empty signature fields, merged with their widgets. They
// exist before the first signature so that filling the second one is not a
// change of the document's structure.
func (d *document) addFields() error {
	if d.opt.Probe {
		return nil
	}
	for _, f := range d.opt.Fields {
		p := &d.pages[f.Page-1]
		look := d.add(NewStream(Dict{
			"Type": Name("XObject"), "Subtype": Name("Form"), "Resources": Dict{},
			"BBox": Array{int64(0), int64(0), Num(f.Rect[2] - f.Rect[0]), Num(f.Rect[3] - f.Rect[1])},
		}))
		widget := Dict{
			"Type": Name("Annot"), "Subtype": Name("Widget"), "FT": Name("Sig"),
			"T": Text(f.Name), "TU": Text(f.Contents), "Contents": Text(f.Contents),
			"F":    int64(4 | 128), // print, locked
			"Rect": rectArray(f.Rect), "P": p.ref, "AP": Dict{"N": look},
		}
		ref := d.add(widget)
		annots, _ := p.dict["Annots"].(Array)
		p.dict["Annots"] = append(annots, ref)
		d.fields = append(d.fields, ref)
		d.annots = append(d.annots, annotation{ref: ref, page: f.Page - 1, elem: "Form"})
	}
	return nil
}

func rectArray(r Rect) Array {
	return Array{Num(r[0]), Num(r[1]), Num(r[2]), Num(r[3])}
}

// addAttachments embeds the files (ISO 32000-1, 7.11.4; ISO 19005-3, 6.8).
func (d *document) addAttachments() error {
	if d.opt.Probe || len(d.opt.Attachments) == 0 {
		delete(d.catalog, "Names")
		return nil
	}
	specs := map[string]Ref{}
	var associated Array
	for _, a := range d.opt.Attachments {
		file, err := d.embedded(a)
		if err != nil {
			return err
		}
		relationship := a.Relationship
		if relationship == "" {
			relationship = "Source"
		}
		spec := Dict{
			"Type": Name("Filespec"), "F": Text(a.Name), "UF": Text(a.Name),
			"AFRelationship": Name(relationship), "EF": Dict{"F": file, "UF": file},
		}
		if a.Description != "" {
			spec["Desc"] = Text(a.Description)
		}
		ref := d.add(spec)
		specs[string(Text(a.Name))] = ref
		associated = append(associated, ref)
	}
	var names Array
	for _, n := range sortedKeys(specs) { // a name tree is sorted by bytes
		names = append(names, String(n), specs[n])
	}
	d.catalog["Names"] = Dict{"EmbeddedFiles": Dict{"Names": names}}
	d.catalog["AF"] = associated
	return nil
}

// embedded is the stream of an attached file.
func (d *document) embedded(a Attachment) (Ref, error) {
	dict := Dict{"Type": Name("EmbeddedFile"), "Subtype": Name(a.MediaType), "Params": attachmentParams(a, d.opt.Created)}
	if a.Later > 0 {
		return d.add(NewStream(dict, a.Data)), nil
	}
	return d.addDeflated(dict, a.Data)
}

func attachmentParams(a Attachment, created time.Time) Dict {
	modified := a.Modified
	if modified.IsZero() {
		modified = created
	}
	if a.Later > 0 {
		// The checksum is optional, and would have to be known before the first
		// byte of the file is written; who made the file vouches for its bytes by
		// the signature.
		return Dict{"Size": a.Later, "ModDate": Date(modified)}
	}
	sum := md5.Sum(a.Data)
	return Dict{"Size": int64(len(a.Data)), "ModDate": Date(modified), "CheckSum": String(sum[:])}
}
