package pdf

import (
	"bytes"
	"testing"
)

// What an element says about itself reaches the file.
func TestElementsAreDescribed(t *testing.T) {
	opt := sampleOptions()
	opt.Structure[0] = Element{Type: "Table", Title: "A table", Lang: "de", Children: []Element{{Type: "TR", Children: []Element{
		{Type: "TH", Scope: "Row", ColSpan: 2, Content: []Mark{{1, 0}}, ActualText: "Zustand"}, {Type: "TD", RowSpan: 3}, {Type: "TD"},
	}}}}
	data := rewriteSample(t, opt)
	v := openBytes(t, data)
	found := map[string]Dict{}
	for _, n := range v.Revision().Numbers() {
		if d, err := v.Dict(Ref{Num: n}); err == nil && d["Type"] == Name("StructElem") {
			s := string(d["S"].(Name))
			if s == "TD" && d["A"] == nil {
				s = "bare TD"
			}
			found[s] = d
		}
	}
	if d := found["Table"]; d["T"] != String("A table") || d["Lang"] != String("de") {
		t.Errorf("table %v", d)
	}
	if d := found["TH"]; d["ActualText"] != String("Zustand") || !Equal(d["A"], Array{Dict{"O": Name("Table"), "Scope": Name("Row"), "ColSpan": int64(2)}}) {
		t.Errorf("head %v", d)
	}
	if d := found["TD"]; !Equal(d["A"], Array{Dict{"O": Name("Table"), "RowSpan": int64(3)}}) {
		t.Errorf("cell %v", d)
	}
	if found["bare TD"] == nil {
		t.Error("the plain cell has attributes")
	}
	if d := found["Figure"]; d["Alt"] != String("Seven pictures") || !bytes.Contains(AppendObject(nil, d["A"]), []byte("/BBox [50 500 500 740]")) {
		t.Errorf("figure %v", d)
	}
}
