package pdf

import (
	"bytes"
	"testing"
)

func openBytes(t testing.TB, data []byte) View {
	t.Helper()
	f, err := Open(bytes.NewReader(data), int64(len(data)), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	return f.Last()
}

func dictOf(t testing.TB, v View, o Object) Dict {
	t.Helper()
	d, err := v.Dict(o)
	if err != nil || d == nil {
		t.Fatalf("%v is no dictionary: %v", o, err)
	}
	return d
}

func arrayOf(t testing.TB, v View, o Object) Array {
	t.Helper()
	a, err := v.Array(o)
	if err != nil || a == nil {
		t.Fatalf("%v is no array: %v", o, err)
	}
	return a
}

// Renumbering must not lead a link or a bookmark astray.
func TestLinksAndBookmarksLeadWhereTheyDid(t *testing.T) {
	v := openBytes(t, rewriteSample(t, sampleOptions()))
	_, cat, err := v.Catalog()
	if err != nil {
		t.Fatal(err)
	}
	pages, err := v.Pages()
	if err != nil || len(pages) != 2 {
		t.Fatalf("%v, %v", pages, err)
	}
	annots := arrayOf(t, v, dictOf(t, v, pages[0])["Annots"])
	if len(annots) != 4 { // two links, two fields
		t.Fatalf("%d annotations", len(annots))
	}
	inner, outer := dictOf(t, v, annots[0]), dictOf(t, v, annots[1])
	if dest := inner["Dest"].(Array); dest[0] != pages[1] || inner["F"] != int64(4) || inner["Contents"] != String("Go to page 2") || inner["P"] != pages[0] {
		t.Errorf("link inside: %v", inner)
	}
	if a := dictOf(t, v, outer["A"]); a["URI"] != String("https://example.org/how-to-verify") || outer["Contents"] != String("Link to https://example.org/how-to-verify") {
		t.Errorf("link outside: %v", outer)
	}
	for i := range 2 {
		r := dictOf(t, v, annots[i])["Rect"].(Array)
		left, _ := Number(r[0])
		bottom, _ := Number(r[1])
		right, _ := Number(r[2])
		top, _ := Number(r[3])
		if left >= right || bottom >= top {
			t.Errorf("rectangle %v is upside down", r)
		}
	}
	root := dictOf(t, v, cat["Outlines"])
	first := dictOf(t, v, root["First"])
	second := dictOf(t, v, first["Next"])
	if root["Count"] != int64(2) || first["Count"] != nil || second["Count"] != int64(-2) {
		t.Errorf("counts %v %v %v", root["Count"], first["Count"], second["Count"])
	}
	if first["Dest"].(Array)[0] != pages[0] || second["Dest"].(Array)[0] != pages[1] {
		t.Error("a bookmark leads to another page")
	}
	below := dictOf(t, v, second["First"])
	if below["Title"] != String("\xFE\xFF\x00F\x00r\x00o\x00n\x00t") && below["Title"] != String("Front") {
		t.Errorf("bookmark %q", below["Title"])
	}
}

// Each page names what it uses and no more, so that a picture belongs to the
// pages that show it.
func TestPagesHaveTheirOwnResources(t *testing.T) {
	v := openBytes(t, rewriteSample(t, sampleOptions()))
	pages, err := v.Pages()
	if err != nil {
		t.Fatal(err)
	}
	first := dictOf(t, v, dictOf(t, v, pages[0])["Resources"])
	if first["XObject"] != nil || len(dictOf(t, v, first["Font"])) != 2 {
		t.Errorf("page 1: %v", first)
	}
	// The drawing library selects the last font anew on every page.
	second := dictOf(t, v, dictOf(t, v, pages[1])["Resources"])
	if len(dictOf(t, v, second["XObject"])) != 7 || len(dictOf(t, v, second["Font"])) != 1 || len(dictOf(t, v, second["ExtGState"])) != 1 {
		t.Errorf("page 2: %v", second)
	}
}

func TestFieldsAreReadyToSign(t *testing.T) {
	v := openBytes(t, rewriteSample(t, sampleOptions()))
	_, cat, err := v.Catalog()
	if err != nil {
		t.Fatal(err)
	}
	form := dictOf(t, v, cat["AcroForm"])
	if form["SigFlags"] != int64(3) {
		t.Errorf("SigFlags %v", form["SigFlags"])
	}
	fields := arrayOf(t, v, form["Fields"])
	for i, want := range []String{"Examiner", "Buyer"} {
		f := dictOf(t, v, fields[i])
		ap := dictOf(t, v, dictOf(t, v, f["AP"])["N"])
		if f["T"] != want || f["FT"] != Name("Sig") || f["V"] != nil || f["Subtype"] != Name("Widget") || ap["Subtype"] != Name("Form") {
			t.Errorf("field %v", f)
		}
	}
}

// Every annotation leads into the structure and back (ISO 32000-1, 14.7.4.4).
func TestStructureLeadsBothWays(t *testing.T) {
	v := openBytes(t, rewriteSample(t, sampleOptions()))
	_, cat, err := v.Catalog()
	if err != nil {
		t.Fatal(err)
	}
	root := dictOf(t, v, cat["StructTreeRoot"])
	nums := arrayOf(t, v, dictOf(t, v, root["ParentTree"])["Nums"])
	tree := map[int64]Object{}
	for i := 0; i < len(nums); i += 2 {
		tree[nums[i].(int64)] = nums[i+1]
	}
	if root["ParentTreeNextKey"] != int64(len(tree)) {
		t.Errorf("next key %v of %d", root["ParentTreeNextKey"], len(tree))
	}
	pages, err := v.Pages()
	if err != nil {
		t.Fatal(err)
	}
	kinds := map[Name]int{}
	for _, ref := range pages {
		page := dictOf(t, v, ref)
		for id, o := range arrayOf(t, v, tree[page["StructParents"].(int64)]) {
			elem := dictOf(t, v, o)
			kinds[elem["S"].(Name)]++
			if k := elem["K"].(Array); elem["Pg"] != ref || k[0] != int64(id) {
				t.Errorf("element %v of MCID %d", elem, id)
			}
		}
		annots, err := v.Array(page["Annots"])
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range annots {
			elem := dictOf(t, v, tree[dictOf(t, v, a)["StructParent"].(int64)])
			kids := elem["K"].(Array)
			last := kids[len(kids)-1].(Dict)
			if last["Type"] != Name("OBJR") || last["Obj"] != a {
				t.Errorf("annotation %v hangs under %v", a, elem)
			}
		}
	}
	if kinds["H1"] != 1 || kinds["P"] != 1 || kinds["Link"] != 1 || kinds["Figure"] != 1 {
		t.Errorf("%v", kinds)
	}
}
