package pdf

import (
	"crypto/sha256"
	"fmt"
	"sort"
	"strings"
)

// fontUse is what the pages show in one font.
type fontUse struct {
	name  string
	codes map[uint16]bool // two-byte codes; the drawing library makes them the characters
}

// MissingGlyphError says that text was drawn in a font that has no glyph for
// some of its characters; the archival form forbids that (ISO 19005-3,
// 6.2.11.8). The caller replaces or removes the characters.
type MissingGlyphError struct {
	Font  string
	Runes []rune
}

func (e *MissingGlyphError) Error() string {
	var list []string
	for _, r := range e.Runes {
		list = append(list, fmt.Sprintf("%q (U+%04X)", r, r))
	}
	return fmt.Sprintf("font %s has no glyph for %s", e.Font, strings.Join(list, ", "))
}

// noteFont collects which codes of a font are shown.
func (d *document) noteFont(o Object, shown []String) error {
	ref, ok := o.(Ref)
	font := d.dict(o)
	if !ok || font == nil {
		return malformed(0, "a font is missing")
	}
	if font["Subtype"] != Name("Type0") || font["Encoding"] != Name("Identity-H") {
		return malformed(0, "font %v is not an embedded Unicode font", font["BaseFont"])
	}
	use := d.usage[ref]
	if use == nil {
		use = &fontUse{codes: map[uint16]bool{}}
		d.usage[ref] = use
	}
	for _, s := range shown {
		if len(s)%2 != 0 {
			return malformed(0, "text in font %v is not in two-byte codes", font["BaseFont"])
		}
		for i := 0; i < len(s); i += 2 {
			use.codes[uint16(s[i])<<8|uint16(s[i+1])] = true
		}
	}
	return nil
}

// mendFonts completes what the drawing library leaves out of a font.
func (d *document) mendFonts() error {
	for ref, use := range d.usage {
		if err := d.mendFont(d.dict(ref), use); err != nil {
			return err
		}
	}
	return nil
}

func (d *document) mendFont(font Dict, use *fontUse) error {
	base, _ := font["BaseFont"].(Name)
	use.name = strings.TrimPrefix(string(base), "utf8")
	list, _ := d.resolve(font["DescendantFonts"]).(Array)
	if len(list) != 1 {
		return malformed(0, "font %s is broken", use.name)
	}
	cid := d.dict(list[0])
	desc := d.dict(cid["FontDescriptor"])
	file, ok1 := d.resolve(desc["FontFile2"]).(*Stream)
	toGID, ok2 := d.resolve(cid["CIDToGIDMap"]).(*Stream)
	if !ok1 || !ok2 {
		return malformed(0, "font %s is not embedded", use.name)
	}
	glyphs, err := toGID.Decode(1 << 18)
	if err != nil {
		return fmt.Errorf("font %s: %w", use.name, err)
	}
	codes, err := use.sorted(glyphs)
	if err != nil {
		return err
	}
	tagged := subsetTag(file) + "+" + use.name
	font["BaseFont"], cid["BaseFont"], desc["FontName"] = Name(tagged), Name(tagged), Name(tagged)
	font["ToUnicode"], err = d.addDeflated(Dict{}, toUnicode(codes))
	if err != nil {
		return err
	}
	cid["CIDSystemInfo"] = Dict{"Registry": String("Adobe"), "Ordering": String("Identity"), "Supplement": int64(0)}
	if d.opt.Probe {
		// ISO 19005-1, 6.3.5 wants the set of a subset's glyphs; later parts
		// only allow it.
		desc["CIDSet"], err = d.addDeflated(Dict{}, cidSet(glyphs))
	}
	return err
}

func (d *document) addDeflated(dict Dict, data []byte) (Ref, error) {
	z, err := Deflate(data)
	if err != nil {
		return Ref{}, err
	}
	dict["Filter"] = Name("FlateDecode")
	return d.add(NewStream(dict, z)), nil
}

// sorted lists the codes in order and refuses those without a glyph.
func (u *fontUse) sorted(glyphs []byte) ([]uint16, error) {
	codes := make([]uint16, 0, len(u.codes))
	for c := range u.codes {
		codes = append(codes, c)
	}
	sort.Slice(codes, func(i, j int) bool { return codes[i] < codes[j] })
	missing := &MissingGlyphError{Font: u.name}
	for _, c := range codes {
		i := 2 * int(c)
		if i+1 >= len(glyphs) || (glyphs[i] == 0 && glyphs[i+1] == 0) {
			missing.Runes = append(missing.Runes, rune(c))
		}
	}
	if missing.Runes != nil {
		return nil, missing
	}
	return codes, nil
}

// subsetTag makes the six capitals that mark a subset (ISO 32000-1, 9.6.4)
// from the font's bytes.
func subsetTag(file *Stream) string {
	h := sha256.New()
	for _, p := range file.parts {
		h.Write(p)
	}
	sum := h.Sum(nil)
	tag := make([]byte, 6)
	for i := range tag {
		tag[i] = 'A' + sum[i]%26
	}
	return string(tag)
}

// toUnicode makes the map from codes to characters, which are the same here.
// A range must not cross a change of the high byte, and a block holds at most
// a hundred ranges (Adobe Technical Note 5014).
func toUnicode(codes []uint16) []byte {
	type span struct{ from, to uint16 }
	var spans []span
	for _, c := range codes {
		if n := len(spans); n > 0 && spans[n-1].to+1 == c && c&0xFF != 0 {
			spans[n-1].to = c
			continue
		}
		spans = append(spans, span{c, c})
	}
	b := []byte("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n" +
		"/CIDSystemInfo <</Registry (Adobe) /Ordering (UCS) /Supplement 0>> def\n" +
		"/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n" +
		"1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n")
	for len(spans) > 0 {
		n := min(100, len(spans))
		b = fmt.Appendf(b, "%d beginbfrange\n", n)
		for _, s := range spans[:n] {
			b = fmt.Appendf(b, "<%04X> <%04X> <%04X>\n", s.from, s.to, s.from)
		}
		b = append(b, "endbfrange\n"...)
		spans = spans[n:]
	}
	return append(b, "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n"...)
}

// cidSet marks every code that has a glyph, and code 0.
func cidSet(glyphs []byte) []byte {
	set := make([]byte, len(glyphs)/16+1)
	set[0] = 0x80
	last := 0
	for i := 0; i+1 < len(glyphs); i += 2 {
		if glyphs[i] != 0 || glyphs[i+1] != 0 {
			cid := i / 2
			set[cid/8] |= 0x80 >> (cid % 8)
			last = cid / 8
		}
	}
	return set[:last+1]
}
