package pdfout

import (
	"fmt"
	"strings"
	"testing"

	"wornwood/annotate/caution"
	"wornwood/capture/record"
	"wornwood/pdfout/pdfxtest"
	"wornwood/pdfout/reporttest"
)

// papers is the demo with claims of every standing, materials and so many
// documents.
func papers(documents int) *record.Record {
	r := reporttest.Demo(4)
	kinds := []struct{ kind, mediaType, name string }{{"document", "application/pdf", "bill.pdf"}, {"drawing", "image/svg+xml", "wiring.svg"}, {"sound", "audio/flac", "open-strings.flac"}, {"film", "video/mp4", "neck.mp4"}}
	for i := range documents {
		k := kinds[i%len(kinds)]
		r.Attachments = append(r.Attachments, record.Attachment{ID: fmt.Sprintf("%064x", 0xfeed<<20+i), Name: k.name, Kind: k.kind, Type: k.mediaType, Size: int64(420 + 3_211_987*i)})
	}
	r.Attachments[0].About, r.Attachments[0].Date = "bill of sale to the first owner", "3 May 1974"
	r.Claims = []record.Claim{
		{ID: "c1", About: "year", Text: "1968", By: "the seller", Support: "pot codes of 1974", Standing: record.Contradicted, Files: []string{r.Photos[1].ID}},
		{ID: "c2", About: "owners", Text: "one owner from new", By: "the seller", Standing: record.Documented, Files: []string{r.Attachments[0].ID, r.Photos[0].ID, "gone"}},
		{ID: "c3", About: "provenance", Text: "from a studio", By: "the seller", Standing: record.Documented},
		{ID: "c4", About: "colour", Text: "original", Standing: record.Seen, Support: "no other under the guard"},
		{ID: "c5", About: "edition", Text: "one of 60", By: "a forum", Standing: record.Unsupported},
		{ID: "c6", About: "repairs", Text: "never refretted", By: "the seller", Standing: record.Stated},
	}
	r.Instrument.Fingerboard, r.Instrument.Inlays = "rosewood", "mother-of-pearl blocks"
	r.Materials = []record.Material{
		{ID: "m1", Name: "Brazilian rosewood", On: "fingerboard", How: "seen"},
		{ID: "m2", Name: "Mother-of-pearl", On: "inlays", How: "document", Document: []string{r.Attachments[0].ID}},
	}
	return r
}

func squeezed(t *testing.T, path string) string {
	t.Helper()
	return strings.Join(strings.Fields(pdfxtest.Output(t, "pdftotext", "-layout", path, "-")), " ")
}

// Claims with their files, contradicted ones in words, documents with their
// digests, cautions by material: as pdftotext (poppler) reads them.
func TestDocumentsAreListed(t *testing.T) {
	r := papers(4)
	path := build(t, r, nil)
	// In reading order, since cells of a row wrap beside each other.
	text := strings.Join(strings.Fields(pdfxtest.Output(t, "pdftotext", path, "-")), " ")
	for _, w := range []string{
		"What was found contradicts one claim: year “1968”.", "Contradicted", "Document 1, photo 1 (front)", "pot codes of 1974. Photo 2 (back)",
		"Called documented, but no file is tied to it and what supports it names no paper.",
		"Documents, sounds and films", "bill.pdf Bill of sale to the first owner", "3 May 1974", r.Attachments[0].ID, r.Attachments[3].ID, "420 bytes, application/pdf", "Claim on owners; Mother-of-pearl on the inlays", "3.2 MB, image/svg+xml",
		"The fingerboard appears to be Brazilian rosewood (Dalbergia nigra); no document that says so is attached.", "Dalbergia nigra is in CITES Appendix I",
		"The inlays are named as mother-of-pearl (nacre) by a document attached", caution.Ask,
	} {
		if !strings.Contains(text, w) {
			t.Errorf("the report does not say %q", w)
		}
	}
	front := pdfxtest.Output(t, "pdftotext", "-l", "1", path, "-")
	front = strings.Join(strings.Fields(front), " ")
	if !strings.Contains(front, "Appears to be rosewood") || !strings.Contains(front, "Mother-of-pearl blocks") || strings.Contains(strings.ToLower(front), "appears to be mother") {
		t.Errorf("page 1: %s", front)
	}
	if strings.Contains(text, "gone") || strings.Count(text, caution.Ask) != 1 {
		t.Error("a file that is not there is named, or whom to ask is said twice")
	}
	if t.Failed() {
		t.Log(text)
	}
}

// A report without documents has no such section, and one without materials of
// legal weight no such caution.
func TestNoDocumentsNoSection(t *testing.T) {
	r := reporttest.Demo(2)
	r.Instrument.Fingerboard = "maple"
	text := squeezed(t, build(t, r, nil))
	for _, w := range []string{"Documents, sounds and films", "CITES"} {
		if strings.Contains(text, w) {
			t.Errorf("the report says %q", w)
		}
	}
}

// Many documents with long names, many materials: the pages hold.
func TestDocumentsLayout(t *testing.T) {
	r := papers(90)
	for i := range r.Attachments {
		r.Attachments[i].Name = strings.Repeat("Avery-long_name of a file ", i%9) + "x.pdf"
		r.Attachments[i].About = strings.Repeat("what it shows and why ", i%14)
		r.Claims[i%6].Files = append(r.Claims[i%6].Files, r.Attachments[i].ID)
	}
	for i, m := range caution.All() {
		r.Materials = append(r.Materials, record.Material{ID: fmt.Sprint("x", i), Name: m.Name, On: "bridge", Note: "x"})
	}
	r.Claims[1].Text = strings.Repeat("a story that has no end ", 60)
	for _, paper := range []string{"A4", "Letter"} {
		for i, p := range readWords(t, build(t, r, func(in *Input) { in.Paper = paper })) {
			checkSheet(t, i+1, p)
		}
	}
}
