package grade

import (
	"embed"
	"fmt"
	"io/fs"
	"sync"
)

// The tables that came with earlier versions of the program. A report names
// the one that it was graded by, so none is ever changed or taken away.
//
//go:embed rubrics/*.json
var earlier embed.FS

// FirstNamed is the hash of the rubric of every report that was issued before
// examinations kept the name of theirs: "Wornwood condition rubric 2".
const FirstNamed = "63c063543b988b19854d4c42e03854d90fecf0b11f346ef0d8acf5fa14c7d69c"

var known = sync.OnceValue(func() []*Rubric {
	names, err := fs.Glob(earlier, "rubrics/*.json") // in order: fewer than ten
	if err != nil {
		panic(err)
	}
	var out []*Rubric
	for _, n := range names {
		b, err := earlier.ReadFile(n)
		if err != nil {
			panic(err) // part of the program
		}
		r, err := parseRubric(b)
		if err != nil {
			// The tables are part of the program, and the tests read them.
			panic(fmt.Errorf("%s: %w", n, err))
		}
		out = append(out, r)
	}
	r, err := parseRubric(rubricTable)
	if err != nil {
		panic(err)
	}
	return append(out, r)
})

// Known lists the rubrics that came with the program, the newest last. The
// caller must not change the list.
func Known() []*Rubric { return known() }

// Default is the newest rubric that comes with the program.
func Default() *Rubric { return known()[len(known())-1] }

// ByHash is the rubric of that hash among those that came with the program;
// nil for any other.
func ByHash(hash string) *Rubric {
	for _, r := range known() {
		if r.hash == hash {
			return r
		}
	}
	return nil
}
