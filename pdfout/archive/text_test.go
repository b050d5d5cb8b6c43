package archive

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func TestFoldText(t *testing.T) {
	for in, want := range map[string]string{
		"": "", " ": "", "Halden  &\tRowe ": "halden & rowe", "ØSTERGÅRD": "ostergard", "Łódź": "lodz", "Đorđe": "dorde", "Straße": "strasse", "GROẞ": "gross",
		"Æon œuvre": "aeon oeuvre", "Þór": "thor", "e\u0301tude": "etude", "İzmir ılık": "izmir ilik", "ﬁne": "fine", "a\x00b": "a b", "\xffx": "x", "Σίσυφος": "σισυφοσ", "№ 3": "no 3", "Ŋ": "n",
	} {
		if got := FoldText(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
	if got := Words("L-41873/b, d’Été (1921)"); !slices.Equal(got, []string{"l", "41873", "b", "d", "ete", "1921"}) {
		t.Errorf("%q", got)
	}
	for a, b := range map[string]string{"L-4I 87O": "l41870", "ø 1": "O-I", "": " -/"} {
		if SerialKey(a) != SerialKey(b) {
			t.Errorf("%q and %q: %q, %q", a, b, SerialKey(a), SerialKey(b))
		}
	}
}

// A folded text is folded; plain letters fold the short way as the long way.
func TestFoldTextAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.OneOf(rapid.String(), rapid.StringMatching(`[ -~\t\n]{0,30}`)).Draw(t, "text")
		f := FoldText(s)
		if FoldText(f) != f {
			t.Errorf("%q: %q, again %q", s, f, FoldText(f))
		}
		if long := FoldText(s + "é"); long != f+"e" && long != f+" e" {
			t.Errorf("%q: %q, the long way %q", s, f, long)
		}
	})
}
