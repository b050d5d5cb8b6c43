package pdf

import (
	"bytes"
	"encoding/xml"
	"io"
	"strings"
)

// maxPacket bounds the metadata of a document, in bytes.
const maxPacket = 1 << 20

// Missing lists in words the marks of the archival form (ISO 19005-3) that the
// last state of a file lacks; none is missing in what Rewrite writes. It looks
// at what the file claims and at what every archival file has, not at every
// object: for that a validator is needed. An error says that the file cannot be
// read.
func Missing(r io.ReaderAt, size int64, lim Limits) ([]string, error) {
	f, err := Open(r, size, lim)
	if err != nil {
		return nil, err
	}
	v := f.Last()
	_, cat, err := v.Catalog()
	if err != nil {
		return nil, err
	}
	var out []string
	need := func(ok bool, what string) {
		if !ok {
			out = append(out, what)
		}
	}
	part, conformance, err := v.claims(cat)
	if err != nil {
		return nil, err
	}
	need(part == "3" && conformance != "", "the claim of the form in its metadata")
	id, _ := v.Trailer()["ID"].(Array)
	need(len(id) == 2, "an identifier")
	profile, err := v.outputProfile(cat)
	if err != nil {
		return nil, err
	}
	need(profile, "a colour profile of its output")
	lang, _ := cat["Lang"].(String)
	need(lang != "", "its language")
	mark, err := v.Dict(cat["MarkInfo"])
	if err != nil {
		return nil, err
	}
	need(mark["Marked"] == true && cat["StructTreeRoot"] != nil, "a structure for reading aloud")
	return out, nil
}

// claims reads part and conformance from the XMP packet (ISO 19005-3, 6.6.4).
func (v View) claims(cat Dict) (part, conformance string, err error) {
	o, err := v.Resolve(cat["Metadata"])
	if err != nil {
		return "", "", err
	}
	s, ok := o.(*Stream)
	if !ok || s.Dict["Filter"] != nil || s.RawLen() > maxPacket {
		return "", "", nil
	}
	packet, err := s.Decode(maxPacket)
	if err != nil {
		return "", "", err
	}
	d := xml.NewDecoder(bytes.NewReader(packet))
	d.Strict = true
	at := ""
	for {
		t, err := d.Token()
		if err != nil { // its end, or no XML any more: what was read counts
			return part, conformance, nil //nolint:nilerr // see above
		}
		switch e := t.(type) {
		case xml.StartElement:
			at = ""
			if e.Name.Space == claimSpace {
				at = e.Name.Local
			}
		case xml.EndElement:
			at = ""
		case xml.CharData:
			switch at {
			case "part":
				part = strings.TrimSpace(string(e))
			case "conformance":
				conformance = strings.TrimSpace(string(e))
			}
		}
	}
}

// claimSpace is the name space of the claim.
const claimSpace = "http://www.aiim.org/pdfa/ns/id/"

// outputProfile says whether the file brings the profile of an output intent.
func (v View) outputProfile(cat Dict) (bool, error) {
	list, err := v.Array(cat["OutputIntents"])
	if err != nil {
		return false, err
	}
	for _, o := range list {
		d, err := v.Dict(o)
		if err != nil {
			return false, err
		}
		p, err := v.Resolve(d["DestOutputProfile"])
		if err != nil {
			return false, err
		}
		if _, ok := p.(*Stream); ok && d["S"] == Name("GTS_PDFA1") {
			return true, nil
		}
	}
	return false, nil
}
