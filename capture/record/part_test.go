package record

import "testing"

func TestPartCheck(t *testing.T) {
	good := Part{ID: Nut, State: Refinished, Reversible: "no", Signs: []Sign{{ID: "a", Answer: "seen"}, {ID: "b", Answer: "not opened"}}}
	check := func(p Part) error { return (&Record{Parts: []Part{p}}).Check() }
	if err := check(good); err != nil {
		t.Fatal(err)
	}
	for name, spoil := range map[string]func(*Part){
		"state":       func(p *Part) { p.State = "worn" },
		"reversible":  func(p *Part) { p.Reversible = "maybe" },
		"answer":      func(p *Part) { p.Signs[1].Answer = "perhaps" },
		"twice":       func(p *Part) { p.Signs[1].ID = "a" },
		"no identity": func(p *Part) { p.Signs[0].ID = "" },
		"too many":    func(p *Part) { p.Signs = make([]Sign, MaxEntries+1) },
	} {
		p := good
		p.Signs = append([]Sign(nil), good.Signs...)
		spoil(&p)
		if check(p) == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}
