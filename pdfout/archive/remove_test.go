package archive_test

import (
	"bytes"
	"context"
	"encoding/base64"
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/pdfout"
	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
	"wornwood/pdfout/pdfxtest"
	"wornwood/pdfout/sign"
)

func newKey(t *testing.T, name string) *sign.Identity {
	t.Helper()
	id, err := archivetest.NewKey(name)
	if err != nil {
		t.Fatal(err)
	}
	return id
}

func removal(hash string, by ...*sign.Identity) archive.Removal {
	return archive.Removal{Report: hash, Rule: "ten years after filing", Reason: "asked for by the owner", Signers: by}
}

// holding tells whether any file below a folder is named by a report or holds a text.
func holding(t *testing.T, dir, text string) bool {
	t.Helper()
	found := false
	err := filepath.WalkDir(dir, func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Base(p) == "log.jsonl" || filepath.Base(p) == "index.db" {
			return err
		}
		b, err := os.ReadFile(p)
		found = found || strings.Contains(p, text) || bytes.Contains(b, []byte(text))
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// A removed report is gone everywhere, its tombstone is signed and stays, the
// others stay, and the archive is whole; so it is after the index is made anew.
func TestRemove(t *testing.T) {
	keeper, second := newKey(t, "K. Marlow"), newKey(t, "S. Ondine")
	a, dir := newArchive(t)
	in := folderOf(t, 3)
	write(t, filepath.Join(in, "bad.pdf"), []byte("no report"))
	file(t, a, in)
	head, gone := a.Head(), hash(made()[1])
	refusedRemovals(t, a, gone, keeper)
	tomb, err := a.Remove(removal(gone[:20], keeper, second))
	if err != nil || tomb.Report != gone || tomb.By != "K. Marlow" {
		t.Fatalf("%+v (%v)", tomb, err)
	}
	if _, err := a.Remove(removal(hash([]byte("no report")), keeper)); err != nil {
		t.Fatal(err)
	}
	if _, err := a.Remove(removal(gone, keeper)); err == nil || !strings.Contains(err.Error(), "removed already") {
		t.Errorf("twice: %v", err)
	}
	if holding(t, dir, gone) || holding(t, dir, "no report") {
		t.Error("something of it is left")
	}
	known := archive.CheckOptions{Trust: pdfout.VerifyOptions{Known: pdfout.KnownKeys{keeper.Fingerprint(): "Marlow", second.Fingerprint(): "Ondine"}}}
	for range 2 {
		if n := len(find(t, a, "")); n != 2 {
			t.Errorf("%d found", n)
		}
		r := check(t, a, known)
		if len(r.Findings) > 0 || r.Reports != 2 || r.Refused != 0 || r.Removed != 2 {
			t.Errorf("%+v", r)
		}
		if _, err := a.Rebuild(context.Background()); err != nil {
			t.Fatal(err)
		}
	}
	list, err := a.Removals()
	if err != nil || len(list) != 2 || len(list[0].Signers) != 2 || list[0].Signers[1].Name != "S. Ondine" || list[1].Area != archive.Refused {
		t.Errorf("%+v (%v)", list, err)
	}
	if p, err := a.Prove(head, 0); err != nil || !p.Holds {
		t.Errorf("%+v (%v)", p, err)
	}
	if r := check(t, a, archive.CheckOptions{}); len(r.Findings) != 1 || r.Findings[0].Severity != archive.Remark || r.Wrong() || !strings.Contains(r.Findings[0].Text, "K. Marlow") {
		t.Errorf("keys not known: %+v", r.Findings)
	}
	tombByOpenSSL(t, a)
}

// refusedRemovals tries what is not done, and sees that nothing was written.
func refusedRemovals(t *testing.T, a *archive.Archive, gone string, keeper *sign.Identity) {
	t.Helper()
	head := a.Head()
	for name, c := range map[string]struct {
		r    archive.Removal
		says string
	}{
		"no key":     {removal(gone), "give a key"},
		"same key":   {removal(gone, keeper, keeper), "another person"},
		"no rule":    {archive.Removal{Report: gone, Reason: "x", Signers: []*sign.Identity{keeper}}, "name the rule"},
		"no reason":  {archive.Removal{Report: gone, Rule: "x", Signers: []*sign.Identity{keeper}}, "say why"},
		"none there": {removal(hash(made()[7]), keeper), "not in the archive"},
		"no hash":    {removal("12", keeper), "beginning of a SHA-256"},
	} {
		if _, err := a.Remove(c.r); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if a.Head() != head {
		t.Fatal("a refused removal wrote into the log")
	}
}

// tombByOpenSSL has OpenSSL judge the signatures of a tombstone.
func tombByOpenSSL(t *testing.T, a *archive.Archive) {
	t.Helper()
	notes, err := a.Notes(archive.Removed)
	if err != nil {
		t.Fatal(err)
	}
	var body struct {
		Tombstone  json.RawMessage `json:"tombstone"`
		Signatures []string        `json:"signatures"`
	}
	if err := json.Unmarshal(notes[0].Body, &body); err != nil || len(body.Signatures) != 2 {
		t.Fatal(err)
	}
	for _, s := range body.Signatures {
		der, err := base64.StdEncoding.DecodeString(s)
		if err != nil {
			t.Fatal(err)
		}
		out := pdfxtest.Output(t, "openssl", "cms", "-verify", "-binary", "-noverify", "-inform", "DER", "-in", pdfxtest.Write(t, "tomb.p7s", der),
			"-content", pdfxtest.Write(t, "tomb.json", body.Tombstone), "-out", os.DevNull)
		if !strings.Contains(out, "successful") {
			t.Errorf("openssl: %s", out)
		}
	}
}

// What is wrong about a removal is found.
func TestFalseRemovalsAreFound(t *testing.T) {
	keeper := newKey(t, "K. Marlow")
	known := archive.CheckOptions{Trust: pdfout.VerifyOptions{Known: pdfout.KnownKeys{keeper.Fingerprint(): "Marlow"}}}
	a, dir := newArchive(t)
	file(t, a, folderOf(t, 4))
	gone := archive.Ref{Area: archive.Files, Hash: hash(made()[0])}
	if _, err := a.Remove(removal(gone.Hash, keeper)); err != nil {
		t.Fatal(err)
	}
	// Put back by hand, or from a copy.
	write(t, path(dir, gone), made()[0])
	r := check(t, a, known)
	if len(r.Findings) != 1 || r.Findings[0].Severity != archive.Grave || !strings.Contains(r.Findings[0].Text, "was removed") || !strings.Contains(r.Findings[0].Do, "--finish") {
		t.Fatalf("%+v", r.Findings)
	}
	if err := a.FinishRemoval(hash(made()[1])); err == nil {
		t.Error("a report that was not removed is deleted")
	}
	if err := a.FinishRemoval(gone.Hash); err != nil {
		t.Fatal(err)
	}
	if r := check(t, a, known); len(r.Findings) > 0 {
		t.Errorf("%+v", r.Findings)
	}
	notes, err := a.Notes(archive.Removed)
	if err != nil {
		t.Fatal(err)
	}
	// Tombstones that somebody wrote who has no key, for another report.
	for i, body := range []string{
		string(notes[0].Body), // another's
		strings.Replace(string(notes[0].Body), "asked for by the owner", "asked for by the buyer", 1),
		`{"tombstone":{},"signatures":[]}`, `[]`,
	} {
		victim := hash(made()[1+i%3])
		if err := a.Note(archive.Entry{Kind: archive.Removed, File: victim, By: "K. Marlow", Body: json.RawMessage(body)}); err != nil {
			t.Fatal(err)
		}
		r := check(t, a, known)
		grave := 0
		for _, f := range r.Findings {
			if f.Severity == archive.Grave && f.Line == a.Head().Seq-1 {
				grave++
			}
		}
		if grave == 0 {
			t.Errorf("tombstone %d passes: %+v", i, r.Findings)
		}
	}
}

// Killed between any two steps, a removal is either ended or never began.
func TestRemovalCutShort(t *testing.T) {
	keeper := newKey(t, "K. Marlow")
	for n := range int32(6) {
		dir := filepath.Join(t.TempDir(), "archive")
		if err := archive.Make(dir, "Test", false, archivetest.When); err != nil {
			t.Fatal(err)
		}
		b := reopen(t, dir, archive.Options{})
		file(t, b, folderOf(t, 2))
		b.Close()
		inner, err := archive.OpenFolder(dir)
		if err != nil {
			t.Fatal(err)
		}
		x, err := archive.OpenSQLite(filepath.Join(dir, "index.db"), false)
		if err != nil {
			t.Fatal(err)
		}
		s := &cut{full: full{Store: inner}}
		s.left.Store(n)
		a, err := archive.Open(context.Background(), dir, archive.Options{Store: s, Index: x, Lock: inner.(archive.Locker)})
		if err != nil {
			t.Fatal(err)
		}
		_, err = a.Remove(removal(hash(made()[0]), keeper))
		if (err == nil) != (n >= 4) {
			t.Errorf("after %d writes: %v", n, err)
		}
		a.Close()
		b = reopen(t, dir, archive.Options{})
		r := check(t, b, archive.CheckOptions{})
		if r.Wrong() || r.Reports+r.Removed != 2 {
			t.Errorf("after %d writes: %+v", n, r)
		}
		if there := holding(t, dir, hash(made()[0])); there != (r.Removed == 0) {
			t.Errorf("after %d writes: removed %d, there %v", n, r.Removed, there)
		}
		b.Close()
	}
}

// cut is a store that also fails while removing.
type cut struct{ full }

func (c *cut) Retire(hash string) error {
	if err := c.write(); err != nil {
		return err
	}
	return c.Store.Retire(hash)
}

func (c *cut) Remove(hash string) error {
	if err := c.write(); err != nil {
		return err
	}
	return c.Store.Remove(hash)
}

func (c *cut) Settle() error {
	if err := c.write(); err != nil {
		return err
	}
	return c.Store.Settle()
}

// The countersigned version of a removed report stays, is found, and is the
// earliest of its versions from then on; the removed one may come back.
func TestVersionsOfARemovedReport(t *testing.T) {
	keeper := newKey(t, "K. Marlow")
	a, _ := newArchive(t)
	later, err := archivetest.Countersigned(made()[0], newKey(t, "B. Atherley"))
	if err != nil {
		t.Fatal(err)
	}
	in := folderOf(t, 1)
	file(t, a, in)
	write(t, filepath.Join(in, "later.pdf"), later)
	file(t, a, in)
	if _, err := a.Remove(removal(hash(made()[0]), keeper)); err != nil {
		t.Fatal(err)
	}
	s, err := a.Show(hash(later))
	if err != nil || len(s.Versions) != 1 || s.Row.Linked != hash(made()[0]) {
		t.Fatalf("%+v (%v)", s, err)
	}
	list, err := a.RemovedVersions(s.Row.First)
	if err != nil || len(list) != 1 || list[0].Report != hash(made()[0]) {
		t.Errorf("%+v (%v)", list, err)
	}
	before := a.Head()
	if tally, out := file(t, a, in); tally.Left != 1 || tally.There != 1 || a.Head() != before || !strings.Contains(out[0].Why+out[1].Why, "removed on") {
		t.Errorf("it comes back by itself: %+v %+v", tally, out)
	}
	var out []archive.Outcome
	tally, err := a.File(context.Background(), []string{in}, archive.FileOptions{Again: true, Done: func(o archive.Outcome) { out = append(out, o) }})
	if err != nil || tally.Filed != 1 || out[0].Linked != hash(later) && out[1].Linked != hash(later) {
		t.Errorf("%+v %+v", tally, out)
	}
	if r := check(t, a, archive.CheckOptions{}); r.Wrong() || r.Reports != 2 || r.Removed != 1 {
		t.Errorf("%+v", r)
	}
	if list, err := a.Removals(); err != nil || !list[0].Back {
		t.Errorf("%+v (%v)", list, err)
	}
}
