package grade

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"sync"
	"unicode"

	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// MaxTable is the largest rubric that is read, in bytes. Those of the program
// have about 50 000.
const MaxTable = 1 << 20

// Bounds of what a table may hold.
const (
	maxRows = 500  // kinds, profiles, shares of one, rows of the setup, names in a list
	maxText = 1200 // letters of one text
	maxName = 80   // letters of a name
)

// Load reads a rubric from anywhere and sees that every record graded by it has
// a grade that keeps the promises of this package: an index within 0 to 100
// that no further mark raises, and a ledger that adds up. The error says in a
// sentence what is wrong and where. A table of the program's own is given back
// as such; any other must have a name of its own.
func Load(b []byte) (*Rubric, error) {
	if len(b) > MaxTable {
		return nil, fmt.Errorf("the rubric is larger than %d KiB", MaxTable>>10)
	}
	if err := exactly(b); err != nil {
		return nil, fmt.Errorf("the rubric cannot be read: %w", err)
	}
	r, err := parseRubric(b)
	if err != nil {
		return nil, fmt.Errorf("the rubric cannot be used: %w", err)
	}
	if own := ByHash(r.hash); own != nil {
		return own, nil
	}
	c := &tableCheck{r: r}
	c.run()
	if c.err != nil {
		return nil, fmt.Errorf("the rubric cannot be used: %w", c.err)
	}
	return r, nil
}

// tableCheck keeps the first thing that is wrong with a table.
type tableCheck struct {
	r   *Rubric
	err error
}

// hold notes a fault unless ok; it gives ok.
func (c *tableCheck) hold(ok bool, format string, args ...any) bool {
	if !ok && c.err == nil {
		c.err = fmt.Errorf(format, args...)
	}
	return ok
}

func (c *tableCheck) run() {
	c.names()
	c.numbers()
	c.scales()
	c.words()
	c.kinds()
	c.profiles()
	c.setup()
	if c.err == nil {
		c.classes()
	}
}

// plain tells whether a text can be printed on one line.
func plain(s string) bool {
	return strings.IndexFunc(s, unicode.IsControl) < 0 && strings.TrimSpace(s) == s
}

func (c *tableCheck) text(what, s string, most int) {
	c.hold(s != "" && len([]rune(s)) <= most && plain(s), "%s is empty, longer than %d letters, or holds line breaks or blanks at its ends", what, most)
}

func (c *tableCheck) names() {
	n := strings.ToLower(strings.Join(strings.Fields(c.r.Name), " "))
	c.text("its name", c.r.Name, maxName)
	c.hold(!strings.HasPrefix(n, "wornwood"), "its name %q begins like one of Wornwood's own, but its numbers are others; give it a name of your own", c.r.Name)
	c.hold(c.r.basedOn == "" || isHash(c.r.basedOn), "what it is based on is not a hash of 64 lower-case hex digits")
	for _, t := range []string{c.r.Note, c.r.Sources} {
		c.hold(len([]rune(t)) <= maxText && plain(t), "its note or its sources are longer than %d letters or hold line breaks or blanks at their ends", maxText)
	}
}

func isHash(s string) bool {
	return len(s) == 64 && strings.Trim(s, "0123456789abcdef") == ""
}

// numbers holds what the promises of the grade rest on. With factors from 1 to
// 2, none below the one before, a mark never adds less by being worse, and R
// stays between 1 and 2, so the index between 0 and 100.
func (c *tableCheck) numbers() {
	r := c.r
	c.hold(r.HaloMM >= 1 && r.HaloMM <= 50, "the halo of %v mm is outside 1 to 50", r.HaloMM)
	c.hold(r.CellMM >= 0.5 && r.CellMM <= 2, "the cell of %v mm is outside 0.5 to 2", r.CellMM)
	last := 1.0
	for i, f := range r.Factors {
		c.hold(f >= last && f <= 2, "factor %d, %v, is below the one before it, below 1 or above 2", i+1, f)
		last = f
	}
	c.hold(r.UninspectedR >= last && r.UninspectedR <= 2, "what was not inspected counts %v at worst; it must be at least the highest factor, %v, and at most 2", r.UninspectedR, last)
	last = 1
	for i, l := range r.ClassLimits {
		c.hold(l > last && l < 2, "class limit %d, %v, is not above the one before it, or not between 1 and 2", i+1, l)
		last = l
	}
	last = 0
	for i, l := range r.ExtentLimits {
		c.hold(l > last && l <= 1, "extent limit %d, %v, is not above the one before it, or above 1", i+1, l)
		last = l
	}
	c.hold(r.ProvisionalBelow > 0 && r.ProvisionalBelow <= 1, "provisionalBelow is %v and not a share above 0, up to 1", r.ProvisionalBelow)
	for _, s := range record.States() {
		o, ok := r.Originality[s]
		switch s {
		case record.NotSeen, record.NotFitted:
			c.hold(!ok, "originality gives a value to %q, of which nothing is known", s)
		case record.Original:
			c.hold(ok && o == 1, "originality of an original part must be 1")
		default:
			c.hold(ok && o >= 0 && o <= 1, "originality of a part that is %q is missing or outside 0 to 1", s)
		}
	}
	for s := range r.Originality {
		c.hold(isState(s), "originality names %q, which is no state of a part", s)
	}
}

func isState(s record.State) bool {
	for _, k := range record.States() {
		if k == s {
			return true
		}
	}
	return false
}

// units of the readings: a value is typed in them, so a table cannot choose.
var readingUnits = map[record.ReadingKind]string{record.FadeReading: "ΔE*ab", record.FlakeReading: "mm", record.RustReading: "%", record.CrownReading: "mm"}

func (c *tableCheck) scales() {
	seen := map[record.ReadingKind]bool{}
	for _, s := range c.r.Scales {
		unit, ok := readingUnits[s.Kind]
		if !c.hold(ok, "there is no reading %q", s.Kind) {
			return
		}
		c.hold(s.Unit == unit, "the reading %q is taken in %s, not in %q", s.Kind, unit, s.Unit)
		c.hold(!seen[s.Kind], "the limits of the reading %q are given twice", s.Kind)
		c.hold(s.AtLimit == "better" || s.AtLimit == "worse", "atLimit of the reading %q is %q, neither better nor worse", s.Kind, s.AtLimit)
		// Less crown is worse; more of everything else is.
		c.hold(s.Falling == (s.Kind == record.CrownReading), "falling of the reading %q is the wrong way round", s.Kind)
		lo, hi := s.Limits[0], s.Limits[1]
		if s.Falling {
			lo, hi = hi, lo
		}
		c.hold(lo > 0 && lo < hi && hi <= 1000, "the limits %v of the reading %q are not in order", s.Limits, s.Kind)
		c.text("where the limits of the reading "+string(s.Kind)+" come from", s.After, maxText)
		seen[s.Kind] = true
	}
}

func (c *tableCheck) words() {
	seen := map[string]bool{}
	for i, w := range c.r.ClassWords {
		c.text(fmt.Sprintf("the word of class %d", i+1), w, maxName)
		c.hold(!seen[w], "the word %q stands for two classes", w)
		seen[w] = true
	}
	c.hold(len(c.r.depthFamilies) <= maxRows && len(c.r.places) <= maxRows, "it lists more than %d depths or places", maxRows)
	for name, words := range c.r.depthFamilies {
		for _, w := range words {
			c.text(fmt.Sprintf("a word of the depths %q", name), w, maxName)
		}
	}
}

func (c *tableCheck) kinds() {
	parts := map[record.PartID]bool{}
	for _, p := range c.r.profiles {
		for _, s := range p.Shares {
			parts[s.Part] = true
		}
	}
	for name, list := range c.r.places {
		c.hold(len(list) <= maxRows, "the places %q are more than %d", name, maxRows)
		for _, p := range list {
			c.hold(parts[p], "the places %q name %q, a part that no profile has a share for", name, p)
		}
	}
	c.hold(len(c.r.kinds) > 0 && len(c.r.kinds) <= maxRows, "it has %d kinds of mark, not 1 to %d", len(c.r.kinds), maxRows)
	for _, k := range c.r.kinds {
		c.hold(k.Reach >= 0 && k.Reach <= 1, "the kind %q counts for at least %v of its part, which is no share from 0 to 1", k.Kind, k.Reach)
		c.text("the name of a kind of mark", string(k.Kind), maxName)
		c.text(fmt.Sprintf("the group of the kind %q", k.Kind), k.Group, maxName)
		c.text(fmt.Sprintf("the reason for the importance of the kind %q", k.Kind), k.Why, maxText)
		c.hold(k.Shape == record.PointShape || k.Shape == record.LineShape || k.Shape == record.AreaShape, "the kind %q is drawn as %q, which is neither point, line nor area", k.Kind, k.Shape)
	}
}

func (c *tableCheck) profiles() {
	c.hold(len(c.r.profiles) <= maxRows, "it has more than %d profiles", maxRows)
	for _, p := range c.r.profiles {
		c.text("the name of a profile", p.Name, maxName)
		c.hold(len(p.Classes) > 0 && len(p.Classes) <= maxRows && len(p.Shares) <= maxRows, "the profile %q is for no class, or lists more than %d", p.Name, maxRows)
		sum, seen := 0.0, map[record.PartID]bool{}
		for _, s := range p.Shares {
			c.text(fmt.Sprintf("a part of the profile %q", p.Name), string(s.Part), maxName)
			c.hold(s.Share > 0 && !seen[s.Part], "the profile %q gives the %s no share, or two", p.Name, s.Part)
			c.hold(s.Per == "" || s.Per == "fret" || s.Per == "string", "the profile %q counts the %s by the %q; it can be fret or string", p.Name, s.Part, s.Per)
			c.hold(s.Pieces >= 0 && s.Pieces <= maxRows && (s.Counted || s.Pieces == 0 && s.Per == ""), "the profile %q has pieces of the %s that are not counted, or more than %d", p.Name, s.Part, maxRows)
			c.hold(!s.Counted || s.Pieces > 0 || s.Per != "", "the profile %q does not say how many pieces the %s has", p.Name, s.Part)
			sum, seen[s.Part] = sum+s.Share, true
		}
		c.hold(sum > 100-slack && sum < 100+slack, "the shares of the profile %q sum to %s, not to 100", p.Name, number(sum))
	}
}

func (c *tableCheck) setup() {
	c.hold(len(c.r.setup) <= maxRows, "it has more than %d readings of the setup", maxRows)
	for _, s := range c.r.setup {
		c.text("the name of a reading of the setup", s.Reading, maxName)
		c.text(fmt.Sprintf("the unit of the reading %q", s.Reading), s.Unit, maxName)
		c.hold(len(s.Classes) <= maxRows, "the reading %q names more than %d classes", s.Reading, maxRows)
		c.hold(s.RecordedOnly || s.Low < s.High, "the usual range of the reading %q, %v to %v, is none", s.Reading, s.Low, s.High)
		c.hold(len([]rune(s.Why)) <= maxText && plain(s.Why), "the source of the reading %q is longer than %d letters or holds line breaks", s.Reading, maxText)
	}
}

// classes sees that every class can be graded: it has a profile, and that has a
// share for each part that its drawing shows.
func (c *tableCheck) classes() {
	for _, class := range shownParts() {
		shares, err := c.r.Shares(class.name)
		if !c.hold(err == nil, "no profile is for the class %q", class.name) {
			return
		}
		has := map[record.PartID]bool{}
		for _, s := range shares {
			has[s.Part] = true
		}
		for _, p := range class.parts {
			c.hold(has[p], "the class %q has the %s, for which its profile has no share", class.name, p)
		}
	}
}

type classParts struct {
	name  string
	parts []record.PartID
}

// shownParts lists what the drawing of each class shows, in the class's usual
// measures.
var shownParts = sync.OnceValue(func() []classParts {
	var out []classParts
	for _, class := range outline.Classes() {
		d, err := outline.New(outline.Params{Class: class})
		if err != nil {
			panic(err) // part of the program, and drawn by its tests
		}
		seen := map[record.PartID]bool{}
		c := classParts{name: class}
		for _, side := range d.Sides {
			for _, reg := range side.Regions {
				if !seen[reg.Part] {
					seen[reg.Part] = true
					c.parts = append(c.parts, reg.Part)
				}
			}
		}
		out = append(out, c)
	}
	return out
})

// exactly sees that a table is one JSON object with the entries that a rubric
// has, spelled as they are, and lists of the right length, before anything is
// read into them.
func exactly(b []byte) error {
	d := json.NewDecoder(bytes.NewReader(b))
	d.UseNumber()
	var v any
	if err := d.Decode(&v); err != nil {
		return err
	}
	if d.More() {
		return fmt.Errorf("something follows its end")
	}
	m, ok := v.(map[string]any)
	if !ok {
		return fmt.Errorf("it is not an object with names and values")
	}
	return rubricShape.match("it", m)
}
