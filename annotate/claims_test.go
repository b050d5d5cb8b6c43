package annotate

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wornwood/annotate/caution"
	"wornwood/capture/record"
)

func attached(n int) record.Attachment {
	return record.Attachment{ID: fmt.Sprintf("%064x", n), Name: fmt.Sprintf("letter-%d.pdf", n), Kind: "document", Type: "application/pdf", Size: 9}
}

func TestClaimsGetTheirIdentity(t *testing.T) {
	s, _ := open(t)
	for i, want := range []string{"c1", "c2", "c3"} {
		id, err := s.AddClaim(record.Claim{ID: "c99", About: " year ", Text: fmt.Sprint(1970 + i)})
		if err != nil || id != want {
			t.Fatalf("%q %v, want %s", id, err, want)
		}
	}
	if c := s.Claim("c1"); c.About != "year" || c.Standing != record.Stated {
		t.Errorf("%+v", c)
	}
	if err := s.RemoveClaim("c2"); err != nil {
		t.Fatal(err)
	}
	if id, err := s.AddClaim(record.Claim{About: "owners", Text: "one"}); err != nil || id != "c4" {
		t.Errorf("%q %v: the identity of one that can come back was given away", id, err)
	}
	if name, err := s.Undo(); err != nil || name != "Add claim on owners" {
		t.Errorf("%q %v", name, err)
	}
	if name, err := s.Undo(); err != nil || name != "Remove claim on year" || s.Claim("c2") == nil {
		t.Errorf("%q %v", name, err)
	}
	// Claims of older records have identities of other forms.
	if err := s.SetClaim(record.Claim{ID: "edition", About: "edition size", Text: "one of 60", Standing: record.Stated}); err != nil {
		t.Fatal(err)
	}
	if id, err := s.AddClaim(record.Claim{Text: "x"}); err != nil || id != "c4" {
		t.Errorf("%q %v", id, err)
	}
}

func TestEditClaim(t *testing.T) {
	s, j := open(t)
	id, _ := s.AddClaim(record.Claim{About: "year", Text: "1974", Standing: record.Seen})
	n := len(j.undo)
	if err := s.EditClaim(id, "Text", func(c *record.Claim) { c.Text = " 1974 " }); err != nil || len(j.undo) != n {
		t.Errorf("no change made an entry: %v", err)
	}
	if err := s.EditClaim(id, "Standing", func(c *record.Claim) { c.Standing, c.ID = record.Contradicted, "other" }); err != nil {
		t.Fatal(err)
	}
	if name, _ := j.CanUndo(); name != "Standing of the claim on year" || s.Claim(id).Standing != record.Contradicted || s.Claim("other") != nil {
		t.Errorf("%q %+v", name, s.Scene().Record.Claims)
	}
	for name, edit := range map[string]func(*record.Claim){
		"standing": func(c *record.Claim) { c.Standing = "certain" },
		"file":     func(c *record.Claim) { c.Files = []string{"nowhere"} },
		"twice":    func(c *record.Claim) { c.Files = []string{"aa", "aa"} },
	} {
		if err := s.EditClaim(id, "x", edit); err == nil {
			t.Errorf("%s was taken", name)
		}
	}
	if err := s.EditClaim("c9", "x", func(*record.Claim) {}); err == nil || s.RemoveClaim("c9") == nil || s.SetClaim(record.Claim{}) == nil {
		t.Error("a claim that is not listed was changed")
	}
}

func TestClaimGap(t *testing.T) {
	rec := &record.Record{Photos: []record.Photo{{ID: "aa"}}, Attachments: []record.Attachment{attached(1)}}
	for _, c := range []struct {
		standing record.Standing
		by       string
		support  string
		files    []string
		gap      string // "" for none
	}{
		{record.Documented, "seller", "", nil, "names no paper"},
		{record.Documented, "", "original bill of sale", nil, ""},
		{record.Documented, "", "Receipts of 1974 and 1981", nil, ""},
		{record.Documented, "", "no receipt seen", nil, "names no paper"},
		{record.Documented, "", "without papers", nil, "names no paper"},
		{record.Documented, "", "receipt lost", nil, "names no paper"},
		{record.Documented, "", "the pots say so", nil, "names no paper"},
		{record.Documented, "", "", []string{attached(1).ID}, ""},
		{record.Documented, "", "", []string{"aa"}, ""}, // a photo of the paper
		{record.Documented, "", "", []string{"gone"}, "names no paper"},
		{record.Seen, "", "", nil, "what was seen"},
		{record.Seen, "", "pot codes", nil, ""},
		{record.Seen, "", "", []string{"aa"}, ""},
		{record.Stated, "", "", nil, "who says so"},
		{record.Stated, "the seller", "", nil, ""},
		{record.Contradicted, "seller", "", nil, "by what"},
		{record.Contradicted, "seller", "pots of 1982", nil, ""},
		{record.Unsupported, "", "", nil, ""},
	} {
		claim := &record.Claim{ID: "c1", About: "year", Text: "1974", By: c.by, Support: c.support, Standing: c.standing, Files: c.files}
		if got := ClaimGap(rec, claim); (got == "") != (c.gap == "") || !strings.Contains(got, c.gap) {
			t.Errorf("%s by %q for %q with %v: %q", c.standing, c.by, c.support, c.files, got)
		}
	}
	for _, c := range []record.Claim{{About: "year", Standing: record.Unsupported}, {Text: "x", Standing: record.Unsupported}} {
		if ClaimGap(rec, &c) == "" {
			t.Errorf("%+v lacks nothing", c)
		}
	}
}

func TestAttachments(t *testing.T) {
	s, j := open(t)
	added, err := s.AddAttachments(attached(1), attached(2), attached(1))
	if err != nil || len(added) != 2 {
		t.Fatal(added, err)
	}
	if name, _ := j.CanUndo(); name != "Attach 2 files" {
		t.Error(name)
	}
	if added, err = s.AddAttachments(attached(2)); err != nil || len(added) != 0 || len(j.undo) != 1 {
		t.Errorf("%v %v: known files made an entry", added, err)
	}
	id := attached(1).ID
	if err := s.SetAttachment(id, "Words", func(a *record.Attachment) { a.About, a.Size, a.Name, a.Kind = " bill of sale ", 1, "x", "drawing" }); err != nil {
		t.Fatal(err)
	}
	if a := Attachment(s.Scene().Record, id); a.About != "bill of sale" || a.Size != 9 || a.Name != "letter-1.pdf" || a.Kind != "drawing" {
		t.Errorf("%+v", a)
	}
	if err := s.SetAttachment(id, "Kind", func(a *record.Attachment) { a.Kind = "film" }); err == nil || !strings.Contains(err.Error(), "document or a drawing") {
		t.Errorf("a PDF became a film: %v", err)
	}
	if s.SetAttachment("no", "x", func(*record.Attachment) {}) == nil || s.RemoveAttachment("no") == nil {
		t.Error("an attachment that is not there")
	}
}

// everywhere ties a file to all that can name one.
func everywhere(t *testing.T, s *Session, id string) {
	t.Helper()
	files := []string{id}
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	_, err := s.AddClaim(record.Claim{About: "year", Text: "1974", Files: []string{"aa", id}})
	must(err)
	_, err = s.AddEvidence(record.Evidence{Kind: record.EvidenceKinds()[0], What: "bill", Files: files})
	must(err)
	_, err = s.AddExtra(record.Extra{Kind: "papers", What: "bill", Files: files})
	must(err)
	_, err = s.AddMaterial(record.Material{Name: "ebony", On: "fingerboard", Document: files})
	must(err)
	must(s.SetWiring("Files", func(w *record.Wiring) { w.Files = []string{id, "aa"} }))
}

func TestRemovedAttachmentIsNamedNowhere(t *testing.T) {
	s, _ := open(t)
	id := attached(1).ID
	if _, err := s.AddAttachments(attached(1), attached(2)); err != nil {
		t.Fatal(err)
	}
	everywhere(t, s, id)
	tied := TiedTo(s.Scene().Record, id)
	if got := strings.Join(tied, "; "); got != "claim on year; Ebony on the fingerboard; dating: bill; bill; wiring" {
		t.Errorf("tied to %s", got)
	}
	before := text(t, s)
	if err := s.RemoveAttachment(id); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(text(t, s), id) || !strings.Contains(text(t, s), attached(2).ID) || s.Claim("c1").Files[0] != "aa" {
		t.Errorf("left: %s", text(t, s))
	}
	if name, err := s.Undo(); err != nil || name != "Remove letter-1.pdf" {
		t.Error(name, err)
	}
	if got := TiedTo(s.Scene().Record, id); !slices.Equal(got, tied) || len(text(t, s)) != len(before) {
		t.Errorf("undone, it is tied to %q", got)
	}
}

func TestRemovedPhotoIsNamedNowhere(t *testing.T) {
	s, _ := open(t)
	if _, err := s.AddClaim(record.Claim{About: "year", Text: "1974", Files: []string{"aa"}}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.AddComponents("", []record.Component{{Kind: record.PotComponent, Photos: []string{"aa", "bb"}}}); err != nil {
		t.Fatal(err)
	}
	if err := s.SetWiring("Files", func(w *record.Wiring) { w.Files = []string{"aa"} }); err != nil {
		t.Fatal(err)
	}
	if err := s.RemovePhoto("aa"); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(text(t, s), `"aa"`) || !strings.Contains(text(t, s), `"bb"`) {
		t.Error(text(t, s))
	}
}

func text(t interface{ Fatal(...any) }, s *Session) string {
	b, err := json.Marshal(s.Scene().Record)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func TestMaterials(t *testing.T) {
	s, j := open(t)
	id, err := s.AddMaterial(record.Material{Name: "dalbergia NIGRA", On: " fingerboard ", How: "seen"})
	if err != nil || id != "m1" || s.Material(id).Name != "Brazilian rosewood" || s.Material(id).On != "fingerboard" {
		t.Fatalf("%q %v %+v", id, err, s.Material(id))
	}
	if name, _ := j.CanUndo(); name != "Add Brazilian rosewood on the fingerboard" {
		t.Error(name)
	}
	for name, m := range map[string]record.Material{"no name": {On: "neck"}, "no such way": {Name: "Ebony", How: "guessed"}, "no such paper": {Name: "Ebony", Document: []string{attached(1).ID}}, "photo as paper": {Name: "Ebony", Document: []string{"aa"}}} {
		if _, err := s.AddMaterial(m); err == nil {
			t.Errorf("%s was taken", name)
		}
	}
	rec := s.Scene().Record
	if got := MaterialGap(rec, &record.Material{Name: "Ebony", On: "neck", How: "document"}); got == "" {
		t.Error("called documented without a document")
	}
	if got := MaterialGap(rec, &record.Material{Name: "Ebony", On: "neck", How: "seen"}); got != "" {
		t.Error(got)
	}
	if _, err := s.AddAttachments(attached(1)); err != nil {
		t.Fatal(err)
	}
	if err := s.SetMaterial(id, "Document", func(m *record.Material) { m.Document, m.How = []string{attached(1).ID}, "document" }); err != nil {
		t.Fatal(err)
	}
	rec = s.Scene().Record
	if !caution.HasDocument(rec, rec.Materials[0]) || MaterialGap(rec, &rec.Materials[0]) != "" {
		t.Errorf("%+v", rec.Materials[0])
	}
	if s.SetMaterial("m9", "x", func(*record.Material) {}) == nil || s.RemoveMaterial("m9") == nil || s.RemoveMaterial(id) != nil || len(s.Scene().Record.Materials) != 0 {
		t.Error("removing")
	}
}

// Whatever is done, identities are unique, no reference leads nowhere, and undo
// leads back to the very beginning.
func TestClaimsAndFilesHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, j := open(t)
		first := text(t, s)
		steps := rapid.IntRange(1, 25).Draw(t, "steps")
		for range steps {
			step(t, s)
			rec := s.Scene().Record
			if err := rec.Check(); err != nil {
				t.Fatal(err)
			}
			uniqueAndTied(t, rec)
		}
		for len(j.undo) > 0 {
			if _, err := s.Undo(); err != nil {
				t.Fatal(err)
			}
		}
		if got := text(t, s); got != first {
			t.Errorf("undone: %s", got)
		}
	})
}

func step(t *rapid.T, s *Session) {
	rec := s.Scene().Record
	files := []string{"aa", "bb"}
	for _, a := range rec.Attachments {
		files = append(files, a.ID)
	}
	some := rapid.SliceOfNDistinct(rapid.SampledFrom(files), 0, 2, rapid.ID[string]).Draw(t, "files")
	claims, materials := ids(rec.Claims, func(c record.Claim) string { return c.ID }), ids(rec.Materials, func(m record.Material) string { return m.ID })
	var err error
	switch rapid.IntRange(0, 7).Draw(t, "what") {
	case 0:
		_, err = s.AddClaim(record.Claim{About: "year", Text: "1974", Files: some})
	case 1:
		if len(claims) > 0 {
			err = s.EditClaim(rapid.SampledFrom(claims).Draw(t, "claim"), "Files", func(c *record.Claim) { c.Files, c.Text = some, c.Text+"!" })
		}
	case 2:
		if len(claims) > 0 {
			err = s.RemoveClaim(rapid.SampledFrom(claims).Draw(t, "claim"))
		}
	case 3, 4:
		_, err = s.AddAttachments(attached(rapid.IntRange(1, 5).Draw(t, "file")))
	case 5:
		if len(rec.Attachments) > 0 {
			err = s.RemoveAttachment(rapid.SampledFrom(rec.Attachments).Draw(t, "gone").ID)
		}
	case 6:
		_, err = s.AddMaterial(record.Material{Name: "Ebony", On: "neck", Document: files[2:]})
	case 7:
		if len(materials) > 0 {
			err = s.RemoveMaterial(rapid.SampledFrom(materials).Draw(t, "material"))
		}
	}
	if err != nil {
		t.Fatal(err)
	}
}

func ids[T any](list []T, id func(T) string) []string {
	var out []string
	for _, x := range list {
		out = append(out, id(x))
	}
	return out
}

func uniqueAndTied(t *rapid.T, rec *record.Record) {
	all := append(ids(rec.Claims, func(c record.Claim) string { return c.ID }), ids(rec.Materials, func(m record.Material) string { return m.ID })...)
	slices.Sort(all)
	if !slices.Equal(all, slices.Compact(slices.Clone(all))) {
		t.Fatalf("identities %q", all)
	}
	var files []string
	for _, c := range rec.Claims {
		files = append(files, c.Files...)
	}
	for _, m := range rec.Materials {
		files = append(files, m.Document...)
	}
	for _, f := range files {
		if rec.PhotoByID(f) == nil && Attachment(rec, f) == nil {
			t.Fatalf("a reference to %s leads nowhere", f)
		}
	}
}
