package archive

import (
	"encoding/hex"
	"fmt"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/transparency-dev/merkle/proof"
)

// The eight leaves and the roots over the first 0 to 8 of them that
// implementations of RFC 6962 and RFC 9162 test against (as the library's own
// tests have them; the RFCs print none). The last is also computed below by
// another program.
var (
	vectorLeaves = []string{"", "00", "10", "2021", "3031", "40414243", "5051525354555657", "606162636465666768696a6b6c6d6e6f"}
	vectorRoots  = []string{
		"e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
		"6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
		"fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
		"aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
		"d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
		"4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
		"76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
		"ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
		"5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
	}
)

func TestTreeOfVectors(t *testing.T) {
	tr := newTree()
	for i := range vectorRoots {
		if root, err := tr.root(); err != nil || root != vectorRoots[i] {
			t.Errorf("%d leaves: %s, want %s (%v)", i, root, vectorRoots[i], err)
		}
		if i < len(vectorLeaves) {
			leaf, err := hex.DecodeString(vectorLeaves[i])
			if err == nil {
				err = tr.add(leaf)
			}
			if err != nil {
				t.Fatal(err)
			}
		}
	}
}

// treeByPython is RFC 9162, 2.1.1, 2.1.3.1 and 2.1.4.1, as they are written there:
// MTH, PATH and PROOF by their recursions. It prints, of n lines "line 0" and so
// on, the root, the path of a line, and the proof from m lines.
const treeByPython = `
import hashlib, sys
H = lambda b: hashlib.sha256(b).digest()
def k(n):
    p = 1
    while p * 2 < n: p *= 2
    return p
def MTH(D):
    if not D: return H(b"")
    if len(D) == 1: return H(b"\0" + D[0])
    i = k(len(D)); return H(b"\1" + MTH(D[:i]) + MTH(D[i:]))
def PATH(m, D):
    if len(D) == 1: return []
    i = k(len(D))
    return PATH(m, D[:i]) + [MTH(D[i:])] if m < i else PATH(m - i, D[i:]) + [MTH(D[:i])]
def SUBPROOF(m, D, b):
    n = len(D)
    if m == n: return [] if b else [MTH(D)]
    i = k(n)
    return SUBPROOF(m, D[:i], b) + [MTH(D[i:])] if m <= i else SUBPROOF(m - i, D[i:], False) + [MTH(D[:i])]
for n in range(1, 34):
    D = [b"line %d" % i for i in range(n)]
    for m in range(n):
        print(n, m, MTH(D).hex(), ",".join(h.hex() for h in PATH(m, D)), ",".join(h.hex() for h in SUBPROOF(m + 1, D, True)))
`

// Every root, path and proof of trees up to 33 lines, against the recursions of
// RFC 9162 carried out by Python; and each path verifies, and no other does.
func TestTreeAgainstPython(t *testing.T) {
	out, err := exec.Command("python3", "-c", treeByPython).Output()
	if err != nil {
		t.Fatal(err)
	}
	rows := strings.Split(strings.TrimRight(string(out), "\n"), "\n")
	if len(rows) != 33*34/2 {
		t.Fatalf("%d rows", len(rows))
	}
	for _, row := range rows {
		f := strings.Split(row, " ")
		var n, m uint64
		if _, err := fmt.Sscan(f[0], &n); err != nil {
			t.Fatal(err)
		}
		if _, err := fmt.Sscan(f[1], &m); err != nil {
			t.Fatal(err)
		}
		compareTree(t, n, m, f[2], hashesOf(f[3]), hashesOf(f[4]))
	}
}

func hashesOf(s string) []string { return strings.FieldsFunc(s, func(r rune) bool { return r == ',' }) }

func compareTree(t *testing.T, n, m uint64, root string, path, from []string) {
	t.Helper()
	in, err := proof.Inclusion(m, n)
	if err != nil {
		t.Fatal(err)
	}
	on, err := proof.Consistency(m+1, n)
	if err != nil {
		t.Fatal(err)
	}
	tr, early := newTree(), ""
	tr.ask(in)
	tr.ask(on)
	for i := range n {
		if err := tr.add(fmt.Appendf(nil, "line %d", i)); err != nil {
			t.Fatal(err)
		}
		if i == m {
			if early, err = tr.root(); err != nil {
				t.Fatal(err)
			}
		}
	}
	gotRoot, err := tr.root()
	gotPath, err2 := tr.path(in)
	gotFrom, err3 := tr.path(on)
	if err != nil || err2 != nil || err3 != nil || gotRoot != root || !slices.Equal(gotPath, path) || !slices.Equal(gotFrom, from) {
		t.Fatalf("line %d of %d: %s %v %v, want %s %v %v (%v %v %v)", m, n, gotRoot, gotPath, gotFrom, root, path, from, err, err2, err3)
	}
	h := TreeHead{Size: int64(n), Root: root}
	line := fmt.Sprintf("line %d", m)
	if err := included(int64(m+1), line, path, h); err != nil {
		t.Errorf("line %d of %d: %v", m, n, err)
	}
	if included(int64(m+1), line+"x", path, h) == nil || (n > 1 && included(int64((m+1)%n+1), line, path, h) == nil) {
		t.Errorf("line %d of %d: another line or place is taken", m, n)
	}
	if err := goesOn(int64(m+1), early, from, h); err != nil {
		t.Errorf("%d lines to %d: %v", m+1, n, err)
	}
	if m+1 < n && goesOn(int64(m+1), vectorRoots[3], from, h) == nil {
		t.Errorf("%d lines to %d: another root is taken", m+1, n)
	}
}
