package archive

import (
	"encoding/json"
	"testing"
)

// Whatever a file says, a proof is judged without a panic, and one that proves
// another line than it should is not taken.
func FuzzProof(f *testing.F) {
	tr := newTree()
	if err := tr.add([]byte(`{"seq":1}`)); err != nil {
		f.Fatal(err)
	}
	root, err := tr.root()
	if err != nil {
		f.Fatal(err)
	}
	h := TreeHead{Schema: HeadSchema, Size: 1, Root: root, Hash: sum([]byte(`{"seq":1}`))}
	for _, p := range []ProofFile{
		{Schema: ProofSchema, Head: h, Lines: []ProvenLine{{1, `{"seq":1}`, nil}}},
		{Schema: ProofSchema, Head: h, Earlier: []EarlierHead{{1, root, nil}, {-1, root, nil}, {1 << 62, root, []string{root}}}, Signature: []byte("x")},
		{Schema: ProofSchema, Head: h, Stamps: []StampedProof{{Head: TreeHead{Size: -5, Root: root}, Token: []byte{0x30, 0}, Lines: []AuditPath{{-1, []string{"zz"}}}}}},
	} {
		b, err := json.Marshal(p)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := ParseProof(data)
		if err != nil {
			return
		}
		r := p.Check(ProofTrust{})
		if r.Holds && len(p.Lines) != len(r.Lines) {
			t.Errorf("%d lines, %d shown", len(p.Lines), len(r.Lines))
		}
		for _, l := range r.Lines {
			if p.Head.Size == 1 && l.Hash != p.Head.Hash {
				t.Error("a tree of one line has another")
			}
		}
	})
}
