package view

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"wornwood/annotate"
	"wornwood/annotate/caution"
	"wornwood/capture/bench"
	"wornwood/capture/record"
)

func bill() record.Attachment {
	return record.Attachment{ID: strings.Repeat("b1", 32), Name: "bill.pdf", Kind: "document", Type: "application/pdf", Size: 4_812_345, Imported: "2026-11-14T10:00:00+01:00"}
}

func TestClaimsForm(t *testing.T) {
	s := opened(t)
	v := NewClaims(s)
	for len(v.Rows()) > 0 {
		must(t, v.Remove())
	}
	if v.Tab() != "Claims" || v.Chosen() != nil || v.Standing() != -1 || v.Remove() != nil {
		t.Error("no claim, and something is shown")
	}
	must(t, v.Add())
	for i, text := range []string{"year", "1974", "the seller", "original bill of sale"} {
		f := v.Fields()[i]
		must(t, f.Set(text))
		if f.Get() != text {
			t.Errorf("%s reads %q", f.Label, f.Get())
		}
	}
	must(t, v.SetStanding(slices.Index(record.Standings(), record.Documented)))
	r := v.Rows()[0]
	if r.About != "Year" || r.Standing != record.Documented || r.Gap != "" || !r.Selected || v.Tab() != "Claims · 1" {
		t.Errorf("%+v", r)
	}
	must(t, v.Fields()[3].Set(""))
	if v.Gap() == "" || !strings.Contains(v.Summary(), "lacks something") {
		t.Errorf("documented by nothing: %q, %q", v.Gap(), v.Summary())
	}
	_, err := s.AddAttachments(bill())
	must(t, err)
	if got := v.Tieable(); len(got) == 0 || got[0].Name != "Document · bill.pdf" {
		t.Errorf("%+v", got)
	}
	must(t, v.Tie(bill().ID))
	must(t, v.Tie(bill().ID))
	if got := v.Tied(); len(got) != 1 || v.Gap() != "" || v.Rows()[0].Files != 1 {
		t.Errorf("%+v %q", got, v.Gap())
	}
	must(t, v.Untie(bill().ID))
	if len(v.Tied()) != 0 || v.Gap() == "" {
		t.Error("untied, and still supported")
	}
	must(t, v.Add())
	must(t, v.Add())
	ids := []string{v.Rows()[0].ID, v.Rows()[1].ID, v.Rows()[2].ID}
	v.Select(ids[1])
	must(t, v.Remove())
	if v.Selected() != ids[2] {
		t.Errorf("after the middle one %s is shown", v.Selected())
	}
	must(t, v.Remove())
	if v.Selected() != ids[0] {
		t.Errorf("after the last one %s is shown", v.Selected())
	}
	for _, st := range record.Standings() {
		if StandingWords[st] == "" {
			t.Errorf("%s is not explained", st)
		}
	}
}

// A claim on the year is held against what is dated.
func TestClaimIsHeldAgainstDates(t *testing.T) {
	s := opened(t)
	v := NewClaims(s)
	must(t, v.Add())
	must(t, v.Fields()[0].Set("year"))
	must(t, v.Fields()[1].Set("1974"))
	if got, _ := v.Dated(); got != "" {
		t.Errorf("nothing is dated, and %q", got)
	}
	_, err := s.AddEvidence(record.Evidence{Kind: record.CodeEvidence, What: "potentiometer", Code: "137 8210"})
	must(t, err)
	if got, against := v.Dated(); !against || !strings.Contains(got, "1974") || !strings.Contains(got, "contradicted by") {
		t.Errorf("%q %v", got, against)
	}
	must(t, v.Fields()[1].Set("1983"))
	if got, against := v.Dated(); against || got == "" {
		t.Errorf("%q %v", got, against)
	}
	must(t, v.Fields()[0].Set("owners"))
	if got, _ := v.Dated(); got != "" {
		t.Errorf("a claim on owners: %q", got)
	}
}

func TestMaterialsForm(t *testing.T) {
	s := opened(t)
	v := NewMaterials(s)
	must(t, s.SetInstrument("fingerboard", func(i *record.Instrument) {
		i.Fingerboard, i.Inlays, i.Body, i.Neck = "rosewood", "mother-of-pearl", "alder", "maple"
	}))
	ps := v.Proposals()
	if len(ps) != 2 || ps[0].On != "fingerboard" || ps[1].On != "inlays" {
		t.Fatalf("%+v", ps)
	}
	must(t, v.Accept(ps[0]))
	if r := v.Rows(); len(r) != 1 || r[0].Name != "Rosewood" || r[0].On != "fingerboard" || len(v.Proposals()) != 1 || v.Tab() != "Materials · 1" {
		t.Fatalf("%+v", r)
	}
	if got := strings.Join(v.Cautions(), " "); !strings.Contains(got, "The fingerboard appears to be rosewood (Dalbergia)") {
		t.Error(got)
	}
	_, err := s.AddAttachments(bill())
	must(t, err)
	for _, f := range v.Tieable() {
		if s.Scene().Record.PhotoByID(f.ID) != nil {
			t.Errorf("a photo is offered as a document: %+v", f)
		}
	}
	must(t, v.Tie(bill().ID))
	if m := v.Chosen(); m.How != "document" || strings.Contains(strings.Join(v.Cautions(), " "), "appears") {
		t.Errorf("%+v %q", m, v.Cautions())
	}
	must(t, v.Untie(bill().ID))
	if v.Gap() == "" {
		t.Error("called documented without a document")
	}
	must(t, v.Fields()[0].Set("dalbergia nigra"))
	if v.Fields()[0].Get() != "Brazilian rosewood" || !strings.Contains(v.Sources(), "(read)") {
		t.Errorf("%q, %q", v.Fields()[0].Get(), v.Sources())
	}
	must(t, v.Add("Ivory"))
	must(t, v.Fields()[1].Set("nut"))
	if v.Gap() != "" || !strings.Contains(v.Sources(), "from memory") || !slices.Contains(v.Fields()[0].Choices, caution.Names()[0]) {
		t.Errorf("%q %q", v.Gap(), v.Sources())
	}
	must(t, v.Remove())
	must(t, v.Remove())
	if v.Chosen() != nil || v.Sources() != "" || v.Remove() != nil {
		t.Error("nothing is listed, and something is shown")
	}
}

func TestIdentityItemSaysWhatClaimsLack(t *testing.T) {
	s := opened(t)
	must(t, s.SetInstrument("all", func(i *record.Instrument) {
		i.Maker, i.Model, i.Year, i.Serial, i.Colour = "Halden & Rowe", "Larkfoot", "1974", "1", "red"
	}))
	must(t, s.SetExamination("examiner", func(e *record.Examination) { e.Examiner = "E. Quill" }))
	sh := NewShell(s)
	item := func() RailItem { return sh.Rail()[0] }
	if it := item(); it.Progress != Complete {
		t.Fatalf("%+v", it)
	}
	id, err := s.AddClaim(record.Claim{About: "year", Text: "1974", Standing: record.Documented})
	must(t, err)
	if it := item(); it.Progress != SomethingMissing || !strings.Contains(it.Why, "claim on year: called documented") {
		t.Errorf("%+v", it)
	}
	must(t, s.EditClaim(id, "Support", func(c *record.Claim) { c.Support = "warranty card" }))
	if it := item(); it.Progress != Complete {
		t.Errorf("%+v", it)
	}
	for range 4 {
		_, err := s.AddMaterial(record.Material{Name: "Ebony"})
		must(t, err)
	}
	if it := item(); !strings.Contains(it.Why, "Ebony: on which part is not said") || !strings.HasSuffix(it.Why, "and 2 more like it") {
		t.Errorf("%+v", it)
	}
}

func TestAttachmentsForm(t *testing.T) {
	s := opened(t)
	b, err := bench.Open(filepath.Join(t.TempDir(), "bench"), bench.Options{Create: true})
	must(t, err)
	defer b.Close()
	dir := t.TempDir()
	put := func(name, content string) string {
		p := filepath.Join(dir, name)
		must(t, os.WriteFile(p, []byte(content), 0o644))
		return p
	}
	paths := []string{put("bill.pdf", "%PDF-1.7\n%%EOF\n"), put("note.txt", "sold to Mr Merrow"), put("x.exe", "MZ\x90\x00\x03\x00\x00\x00"), put("cut.pdf", "%PDF-1.7\n"), put("again.pdf", "%PDF-1.7\n%%EOF\n")}
	told := 0
	st, err := StoreFiles(context.Background(), b, paths, "", func(int, int, string) { told++ })
	must(t, err)
	if len(st.Files) != 4 || len(st.Refused) != 1 || len(st.Remarks) != 1 || told == 0 || !strings.Contains(st.Remarks[0], "cut.pdf was attached, but") {
		t.Fatalf("%+v", st)
	}
	v := NewAttachments(s)
	said, err := v.Enter(st)
	must(t, err)
	if said != "3 attached, 1 known already, 1 refused" || v.Tab() != "Documents · 3" {
		t.Errorf("%q %q", said, v.Tab())
	}
	must(t, v.Fields()[1].Set("bill of sale"))
	must(t, v.Fields()[2].Set("May 1974"))
	if v.Fields()[0].Set("film") == nil || !slices.Equal(v.Fields()[0].Choices, []string{"document", "drawing"}) {
		t.Error("a PDF may be a film")
	}
	_, err = s.AddClaim(record.Claim{About: "year", Text: "1974", Files: []string{v.Selected()}})
	must(t, err)
	r := v.Rows()[0]
	if r.About != "bill of sale" || r.Date != "May 1974" || r.Size != "15 B" || len(r.Hash) != 12 || r.Tied != "claim on year" || r.Number != 1 || len(v.Facts()) == 0 {
		t.Errorf("%+v", r)
	}
	p, err := v.Save(context.Background(), b, dir)
	if err == nil {
		t.Errorf("written over %s", p)
	}
	out := t.TempDir()
	p, err = v.Save(context.Background(), b, out)
	must(t, err)
	if got, err := os.ReadFile(p); err != nil || string(got) != "%PDF-1.7\n%%EOF\n" {
		t.Errorf("%q %v", got, err)
	}
	must(t, v.Remove())
	if c := s.Scene().Record.Claims; len(c[len(c)-1].Files) != 0 || annotate.Attachment(s.Scene().Record, r.ID) != nil {
		t.Error("removed, and still named")
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if _, err := StoreFiles(ctx, b, paths, "", nil); err == nil {
		t.Error("cancelled, and nothing is said")
	}
}

func TestGoes(t *testing.T) {
	dir := t.TempDir()
	for name, c := range map[string]struct{ content, want string }{
		"letter.pdf": {"anything", "report"}, "take.wav": {"RIFF\x24\x00\x00\x00WAVEfmt ", "attachment"}, "clip": {"\x00\x00\x00\x14ftypisom\x00\x00\x02\x00isom", "attachment"},
		"note.txt": {"a note", "attachment"}, "a.jpg": {"\xFF\xD8\xFF\xE0\x00\x10JFIF\x00", "photo"}, "wiring.svg": {"<svg/>", "attachment"}, "empty.jpg": {"", "photo"}, "x.exe": {"MZ\x90\x00\x03\x00", "photo"},
	} {
		p := filepath.Join(dir, name)
		must(t, os.WriteFile(p, []byte(c.content), 0o644))
		if got := Goes(p); got != c.want {
			t.Errorf("%s goes as %s, want %s", name, got, c.want)
		}
	}
	if Goes(dir) != "photo" || Goes(filepath.Join(dir, "none")) != "photo" {
		t.Error("a folder, or nothing")
	}
}
