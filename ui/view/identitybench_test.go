package view

import (
	"fmt"
	"testing"

	"wornwood/annotate"
	"wornwood/capture/record"
)

// crowded is a session with so many claims, materials and attachments, each
// claim tied to some.
func crowded(t testing.TB, n int) *annotate.Session {
	t.Helper()
	s := opened(t)
	var list []record.Attachment
	for i := range n {
		list = append(list, record.Attachment{ID: fmt.Sprintf("%064x", i+1), Name: fmt.Sprint(i, ".pdf"), Kind: "document", Type: "application/pdf", Size: 9})
	}
	_, err := s.AddAttachments(list...)
	must(t, err)
	var cs []record.Change
	add := func(target string, v any) {
		c, err := record.Set(target, v)
		must(t, err)
		cs = append(cs, c)
	}
	for i := range n {
		id := fmt.Sprint("c", i+1)
		add(record.ClaimTarget(id), record.Claim{ID: id, About: "year", Text: "made in the spring of 1974, of rosewood", By: "the seller", Support: "a letter by the first owner and what is written inside", Standing: record.Documented,
			Files: []string{list[i].ID, list[(i*7)%n].ID + "x"}})
		id = fmt.Sprint("m", i+1)
		add(record.MaterialTarget(id), record.Material{ID: id, Name: "Ebony", On: "pegs", Document: []string{list[i].ID}})
	}
	must(t, s.Do("Crowd", cs...))
	return s
}

// BenchmarkCrowdedIdentity is what a screen asks its models for after every
// change, with more claims and papers than any instrument has.
func BenchmarkCrowdedIdentity(b *testing.B) {
	s := crowded(b, 200)
	for name, f := range map[string]func(){
		"rail": func() { NewShell(s).Rail() }, "claims": func() { NewClaims(s).Rows() }, "materials": func() { NewMaterials(s).Rows(); NewMaterials(s).Proposals() },
		"documents": func() { NewAttachments(s).Rows() },
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				f()
			}
		})
	}
}
