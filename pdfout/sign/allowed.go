package sign

import (
	"wornwood/pdfout/pdf"
)

// mayChange says whether an object that existed before may differ in the way
// it does, and notes the new objects that the change brings along.
func (s *step) mayChange(ref pdf.Ref, before, after pdf.Object) (bool, error) {
	old, ok1 := before.(pdf.Dict)
	now, ok2 := after.(pdf.Dict)
	if !ok1 || !ok2 {
		return false, nil
	}
	if sig := s.filled[ref]; sig != nil {
		return s.fieldChange(old, now, sig)
	}
	_, cat, err := s.old.Catalog()
	if err != nil {
		return false, err
	}
	switch {
	case ref == s.root:
		return s.catalogChange(old, now)
	case cat["AcroForm"] == pdf.Object(ref):
		return s.formChange(old, now)
	case old["Type"] == pdf.Name("Page"):
		return s.pageChange(old, now)
	}
	return false, nil
}

// differ lists the keys whose values differ.
func differ(old, now pdf.Dict) map[pdf.Name]bool {
	keys := map[pdf.Name]bool{}
	for _, d := range []pdf.Dict{old, now} {
		for k := range d {
			if !pdf.Equal(old[k], now[k]) {
				keys[k] = true
			}
		}
	}
	return keys
}

// only says whether no keys but the given ones differ.
func only(keys map[pdf.Name]bool, may ...pdf.Name) bool {
	n := 0
	for _, k := range may {
		if keys[k] {
			n++
		}
	}
	return n == len(keys)
}

// fieldChange: signing fills in the value and the appearance. The rectangle
// stays, and an appearance cannot reach beyond it.
func (s *step) fieldChange(old, now pdf.Dict, sig *Signature) (bool, error) {
	if !only(differ(old, now), "V", "AP", "M") || now["V"] != pdf.Object(sig.ref) {
		return false, nil
	}
	if m, ok := now["M"]; ok {
		if _, isString := m.(pdf.String); !isString {
			return false, nil
		}
	}
	if ok, err := s.allowSignature(sig.ref); !ok || err != nil {
		return ok, err
	}
	return s.allowAppearance(old, now)
}

// allowSignature: the signature dictionary must be new and stand alone.
func (s *step) allowSignature(ref pdf.Ref) (bool, error) {
	if s.existed(ref) {
		return false, nil
	}
	d, err := s.new.Dict(ref)
	if err != nil {
		return false, err
	}
	// Nothing in it may lead elsewhere; other programs put references only
	// into their build data, which shows nothing.
	for k, o := range d {
		if k != "Prop_Build" && k != "Reference" && hasRef(o) {
			return false, nil
		}
	}
	s.allowed[ref.Num] = true
	return true, nil
}

func hasRef(o pdf.Object) bool {
	switch v := o.(type) {
	case pdf.Ref:
		return true
	case pdf.Array:
		for _, e := range v {
			if hasRef(e) {
				return true
			}
		}
	case pdf.Dict:
		for _, e := range v {
			if hasRef(e) {
				return true
			}
		}
	}
	return false
}

func (s *step) allowAppearance(old, now pdf.Dict) (bool, error) {
	if pdf.Equal(old["AP"], now["AP"]) {
		return true, nil
	}
	ap, ok := now["AP"].(pdf.Dict)
	if !ok || len(ap) != 1 {
		return false, nil
	}
	ref, ok := ap["N"].(pdf.Ref)
	if !ok || s.existed(ref) {
		return false, nil
	}
	o, err := s.new.Get(ref)
	if err != nil {
		return false, err
	}
	form, ok := o.(*pdf.Stream)
	if !ok || form.Dict["Subtype"] != pdf.Name("Form") {
		return false, nil
	}
	return true, s.allowTree(ref)
}

// maxTree bounds what an allowed change may bring along.
const maxTree = 2000

// allowTree allows the new objects that ref leads to. What existed before may
// be used, but is compared like everything else.
func (s *step) allowTree(ref pdf.Ref) error {
	var queue []pdf.Ref
	allow := func(r pdf.Ref) {
		if !s.allowed[r.Num] && !s.existed(r) && len(s.allowed) < maxTree {
			s.allowed[r.Num] = true
			queue = append(queue, r)
		}
	}
	for allow(ref); len(queue) > 0; queue = queue[1:] {
		o, err := s.new.Get(queue[0])
		if err != nil {
			return err
		}
		pdf.EachRef(o, allow)
	}
	return nil
}

func (s *step) existed(ref pdf.Ref) bool {
	e, _, ok := s.old.Lookup(ref.Num)
	return ok && !e.Free
}

// catalogChange: certificates and revocation lists for later checking (DSS,
// ISO 32000-2, 12.8.4.3) and the mark of the extension they belong to.
func (s *step) catalogChange(old, now pdf.Dict) (bool, error) {
	keys := differ(old, now)
	if !only(keys, "DSS", "Extensions", "AcroForm") {
		return false, nil
	}
	if keys["Extensions"] && hasRef(now["Extensions"]) {
		return false, nil
	}
	if keys["AcroForm"] {
		a, ok1 := old["AcroForm"].(pdf.Dict)
		b, ok2 := now["AcroForm"].(pdf.Dict)
		if !ok1 || !ok2 {
			return false, nil
		}
		if ok, err := s.formChange(a, b); !ok || err != nil {
			return ok, err
		}
	}
	if ref, ok := now["DSS"].(pdf.Ref); ok && keys["DSS"] {
		return true, s.allowTree(ref)
	}
	var err error
	pdf.EachRef(now["DSS"], func(r pdf.Ref) {
		if err == nil {
			err = s.allowTree(r)
		}
	})
	return true, err
}

// formChange: the flag that signatures exist, and the field of a time-stamp
// over the file at the end of the list.
func (s *step) formChange(old, now pdf.Dict) (bool, error) {
	keys := differ(old, now)
	if !only(keys, "SigFlags", "Fields") {
		return false, nil
	}
	if flags, ok := now["SigFlags"].(int64); keys["SigFlags"] && (!ok || flags != 3) {
		return false, nil
	}
	if !keys["Fields"] {
		return true, nil
	}
	return s.appendedStamps(old["Fields"], now["Fields"])
}

// appendedStamps says whether b is a with nothing but invisible time-stamp
// fields at its end.
func (s *step) appendedStamps(before, after pdf.Object) (bool, error) {
	a, _ := before.(pdf.Array)
	b, ok := after.(pdf.Array)
	if !ok || len(b) <= len(a) || !pdf.Equal(a, b[:len(a)]) {
		return false, nil
	}
	for _, o := range b[len(a):] {
		ref, ok := o.(pdf.Ref)
		if !ok || !s.stamps[ref] {
			return false, nil
		}
		d, err := s.new.Dict(ref)
		if err != nil {
			return false, err
		}
		sig, ok := d["V"].(pdf.Ref)
		if !ok || d["A"] != nil || d["AA"] != nil {
			return false, nil
		}
		if ok, err := s.allowSignature(sig); !ok || err != nil {
			return ok, err
		}
		s.allowed[ref.Num] = true
		if ap, ok := d["AP"].(pdf.Dict); ok {
			if ok, err := s.allowAppearance(pdf.Dict{}, pdf.Dict{"AP": ap}); !ok || err != nil {
				return ok, err
			}
		}
	}
	return true, nil
}

// pageChange: a page lists the invisible field of a time-stamp.
func (s *step) pageChange(old, now pdf.Dict) (bool, error) {
	if !only(differ(old, now), "Annots") {
		return false, nil
	}
	return s.appendedStamps(old["Annots"], now["Annots"])
}
