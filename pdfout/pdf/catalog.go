package pdf

import (
	"strings"
	"time"
)

// addCatalog sets everything that hangs on the document as a whole.
func (d *document) addCatalog() error {
	icc, err := d.addDeflated(Dict{"N": int64(3), "Alternate": Name("DeviceRGB")}, sRGBProfile())
	if err != nil {
		return err
	}
	tagged := d.catalog["StructTreeRoot"] != nil
	d.catalog["OutputIntents"] = Array{Dict{
		"Type": Name("OutputIntent"), "S": Name("GTS_PDFA1"), "DestOutputProfile": icc,
		"OutputConditionIdentifier": String("sRGB IEC61966-2.1"), "Info": String("sRGB IEC61966-2.1"),
		"RegistryName": String("http://www.color.org"),
	}}
	// Metadata stays uncompressed so that programs that do not read PDF find
	// it (ISO 19005-1, 6.7.2).
	d.catalog["Metadata"] = d.add(NewStream(Dict{"Type": Name("Metadata"), "Subtype": Name("XML")}, d.opt.xmp(tagged)))
	d.catalog["Lang"] = Text(d.opt.Lang)
	d.catalog["ViewerPreferences"] = Dict{"DisplayDocTitle": true}
	if len(d.fields) > 0 {
		var fields Array
		for _, f := range d.fields {
			fields = append(fields, f)
		}
		// SigFlags: signatures exist, append only. Its own object, so that
		// signing need not touch it.
		d.catalog["AcroForm"] = d.add(Dict{"Fields": fields, "SigFlags": int64(3)})
	}
	if _, isPlace := d.catalog["OpenAction"].(Array); !isPlace {
		delete(d.catalog, "OpenAction")
	}
	for i := range d.pages {
		if g := d.dict(d.pages[i].dict["Group"]); g != nil && g["CS"] == Name("DeviceCMYK") {
			return malformed(0, "page %d blends in CMYK", i+1)
		}
	}
	d.info = d.add(d.opt.infoDict())
	return nil
}

func (o *Options) infoDict() Dict {
	info := Dict{"CreationDate": Date(o.Created), "ModDate": Date(o.Created)}
	for k, s := range map[Name]string{
		"Title": o.Title, "Author": o.Author, "Subject": o.Subject, "Keywords": o.Keywords, "Producer": o.Producer,
	} {
		if s != "" {
			info[k] = Text(s)
		}
	}
	return info
}

var xmlEscaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;", "\r", "&#13;")

// xmp makes the metadata packet (ISO 16684-1), saying the same as the
// information dictionary.
func (o *Options) xmp(tagged bool) []byte {
	var b strings.Builder
	b.WriteString("<?xpacket begin=\"\uFEFF\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n" +
		"<x:xmpmeta xmlns:x=\"adobe:ns:meta/\">\n<rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\n" +
		"<rdf:Description rdf:about=\"\" xmlns:pdfaid=\"http://www.aiim.org/pdfa/ns/id/\" xmlns:dc=\"http://purl.org/dc/elements/1.1/\"" +
		" xmlns:pdf=\"http://ns.adobe.com/pdf/1.3/\" xmlns:xmp=\"http://ns.adobe.com/xap/1.0/\">\n")
	part := "3"
	if o.Probe {
		part = "1"
	}
	element := func(name, open, text, closing string) {
		if text != "" {
			b.WriteString("<" + name + ">" + open + xmlEscaper.Replace(text) + closing + "</" + name + ">\n")
		}
	}
	const altOpen, altClose = `<rdf:Alt><rdf:li xml:lang="x-default">`, `</rdf:li></rdf:Alt>`
	element("pdfaid:part", "", part, "")
	element("pdfaid:conformance", "", "B", "")
	element("dc:format", "", "application/pdf", "")
	element("dc:title", altOpen, o.Title, altClose)
	element("dc:creator", "<rdf:Seq><rdf:li>", o.Author, "</rdf:li></rdf:Seq>")
	element("dc:description", altOpen, o.Subject, altClose)
	element("dc:language", "<rdf:Bag><rdf:li>", o.Lang, "</rdf:li></rdf:Bag>")
	element("pdf:Keywords", "", o.Keywords, "")
	element("pdf:Producer", "", o.Producer, "")
	created := o.Created.UTC().Truncate(time.Second).Format("2006-01-02T15:04:05+00:00")
	element("xmp:CreateDate", "", created, "")
	element("xmp:ModifyDate", "", created, "")
	element("xmp:MetadataDate", "", created, "")
	b.WriteString("</rdf:Description>\n")
	if tagged {
		b.WriteString(pdfuaPacket)
	}
	b.WriteString("</rdf:RDF>\n</x:xmpmeta>\n<?xpacket end=\"r\"?>")
	return []byte(b.String())
}

// pdfuaPacket claims ISO 14289-1 and describes that claim's schema, which
// ISO 19005-3 (6.6.2.3) wants of every schema it does not list itself.
const pdfuaPacket = `<rdf:Description rdf:about="" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/">
<pdfuaid:part>1</pdfuaid:part>
</rdf:Description>
<rdf:Description rdf:about="" xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/" xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#" xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">
<pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">
<pdfaSchema:schema>PDF/UA Universal Accessibility Schema</pdfaSchema:schema>
<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>
<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>
<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">
<pdfaProperty:name>part</pdfaProperty:name>
<pdfaProperty:valueType>Integer</pdfaProperty:valueType>
<pdfaProperty:category>internal</pdfaProperty:category>
<pdfaProperty:description>Indicates, which part of ISO 14289 standard is followed</pdfaProperty:description>
</rdf:li></rdf:Seq></pdfaSchema:property>
</rdf:li></rdf:Bag></pdfaExtension:schemas>
</rdf:Description>
`
