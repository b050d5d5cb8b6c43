package view

import (
	"fmt"
	"slices"
	"strings"

	"wornwood/annotate"
	"wornwood/capture/record"
)

// Cell is one position of the grid: a string from 1 at the treble side, and a
// fret from 1 at the nut.
type Cell struct{ String, Fret int }

// Play is the fret-by-string grid: how every string speaks at every fret, a
// cursor, a selected block, and a sound with which the mouse paints.
type Play struct {
	s       *annotate.Session
	at, far Cell // the cursor, and the corner of the block across from it
	brush   record.Sound
	held    bool   // the pointer is down
	stroke  []Cell // being painted, not said yet
}

// NewPlay makes the model on a session, the cursor on string 1 at fret 1.
func NewPlay(s *annotate.Session) *Play {
	return &Play{s: s, at: Cell{1, 1}, far: Cell{1, 1}, brush: record.Buzz}
}

// Strings is the number of strings.
func (v *Play) Strings() int { return v.s.Scene().Drawing.Strings }

// Frets is the number of frets, 0 where there are none to play.
func (v *Play) Frets() int {
	if d := v.s.Scene().Drawing; !d.Fretless {
		return d.Frets
	}
	return 0
}

// Sounds is how every position speaks, what is being painted included: a row a
// string, a column a fret.
func (v *Play) Sounds() [][]record.Sound {
	p := v.s.Scene().Record.Playing
	rows := make([][]record.Sound, v.Strings())
	for i := range rows {
		rows[i] = slices.Repeat([]record.Sound{p.At(0, 0)}, v.Frets()) // no position is 0, so: the others
	}
	say := func(c Cell, snd record.Sound) {
		if c.String <= len(rows) && c.Fret <= v.Frets() {
			rows[c.String-1][c.Fret-1] = snd
		}
	}
	for _, q := range p.Positions {
		say(Cell{q.String, q.Fret}, q.Sound)
	}
	for _, c := range v.stroke {
		say(c, v.brush)
	}
	return rows
}

// Sound is how one position speaks.
func (v *Play) Sound(str, fret int) record.Sound { return v.s.Scene().Record.Playing.At(str, fret) }

// Cursor is where a letter goes.
func (v *Play) Cursor() Cell { return v.at }

// Block is the selection from its least string and fret to its largest; the
// cursor alone where nothing more is selected.
func (v *Play) Block() (from, to Cell) {
	return Cell{min(v.at.String, v.far.String), min(v.at.Fret, v.far.Fret)}, Cell{max(v.at.String, v.far.String), max(v.at.Fret, v.far.Fret)}
}

// cells lists a block's positions string by string.
func (v *Play) cells() []Cell {
	from, to := v.Block()
	var out []Cell
	for s := from.String; s <= to.String; s++ {
		for f := from.Fret; f <= to.Fret; f++ {
			out = append(out, Cell{s, f})
		}
	}
	return out
}

func (v *Play) inside(c Cell) Cell {
	return Cell{max(1, min(v.Strings(), c.String)), max(1, min(v.Frets(), c.Fret))}
}

// Move moves the cursor by strings and frets; extending, the block grows with
// it and otherwise there is none any more.
func (v *Play) Move(strings, frets int, extend bool) {
	v.Select(Cell{v.at.String + strings, v.at.Fret + frets}, extend)
}

// Select puts the cursor on a position, or the nearest that there is.
func (v *Play) Select(c Cell, extend bool) {
	v.at = v.inside(c)
	if !extend {
		v.far = v.at
	}
}

// SelectString selects a whole string, SelectFret a fret on all strings.
func (v *Play) SelectString(str int) {
	v.at, v.far = v.inside(Cell{str, 1}), v.inside(Cell{str, v.Frets()})
}

// SelectFret selects one fret on every string.
func (v *Play) SelectFret(fret int) {
	v.at, v.far = v.inside(Cell{1, fret}), v.inside(Cell{v.Strings(), fret})
}

// SelectAll selects every position.
func (v *Play) SelectAll() { v.at, v.far = Cell{1, 1}, v.inside(Cell{v.Strings(), v.Frets()}) }

// step goes on along the string, then to the next; at the last position of all
// it stays.
func (v *Play) step() {
	c := v.at
	if c.Fret++; c.Fret > v.Frets() && c.String < v.Strings() {
		c = Cell{c.String + 1, 1}
	}
	v.Select(c, false)
}

// Back takes the cursor one position back along the strings.
func (v *Play) Back() {
	c := v.at
	if c.Fret--; c.Fret < 1 && c.String > 1 {
		c = Cell{c.String - 1, v.Frets()}
	}
	v.Select(c, false)
}

// SoundOf is the sound that a letter stands for: c clean, b buzz, h choke, d
// dead, n not tried; false for any other.
func SoundOf(letter rune) (record.Sound, bool) {
	for _, snd := range record.Sounds() {
		if l := LetterOf(snd); letter == l || letter == l-'a'+'A' {
			return snd, true
		}
	}
	return "", false
}

// LetterOf is the letter of a sound.
func LetterOf(snd record.Sound) rune {
	return map[record.Sound]rune{record.Clean: 'c', record.Buzz: 'b', record.Choke: 'h', record.Dead: 'd', record.NotTried: 'n'}[snd]
}

// Type takes a letter: it says the sound of the cursor's position and steps on,
// or says it of the whole block, which stays selected. Other letters do
// nothing.
func (v *Play) Type(letter rune) error {
	snd, ok := SoundOf(letter)
	if !ok || v.Frets() == 0 {
		return nil
	}
	return v.Say(snd)
}

// Say is Type for a sound.
func (v *Play) Say(snd record.Sound) error {
	cells := v.cells()
	if v.at == v.far {
		v.step() // before the change, because the screen follows it at once
	}
	return v.set(cells, snd)
}

func (v *Play) set(cells []Cell, snd record.Sound) error {
	ps := make([]record.Position, len(cells))
	for i, c := range cells {
		ps[i] = record.Position{String: c.String, Fret: c.Fret, Sound: snd}
	}
	return v.s.SetSounds(ps)
}

// SayAt says one sound of every given string at every given fret, in one
// change.
func (v *Play) SayAt(strs, frets []int, snd record.Sound) error {
	var cells []Cell
	for _, s := range strs {
		for _, f := range frets {
			cells = append(cells, Cell{s, f})
		}
	}
	return v.set(cells, snd)
}

// CheckSound tells whether a word is a sound.
func CheckSound(snd record.Sound) error {
	if slices.Contains(record.Sounds(), snd) {
		return nil
	}
	var words []string
	for _, s := range record.Sounds() {
		words = append(words, string(s))
	}
	return fmt.Errorf("%q is no sound; they are: %s", snd, strings.Join(words, ", "))
}

// Brush is the sound with which the mouse paints, "" where it selects.
func (v *Play) Brush() record.Sound { return v.brush }

// SetBrush chooses it.
func (v *Play) SetBrush(snd record.Sound) { v.brush = snd }

// Press begins to paint at a position, or to select from there.
func (v *Play) Press(c Cell) {
	v.Select(c, false)
	v.held = true
	if v.brush != "" {
		v.stroke = []Cell{v.at}
	}
}

// Drag paints on to a position and over those between, as a quick pointer
// leaves some out, or selects up to it.
func (v *Play) Drag(c Cell) {
	if !v.held {
		return
	}
	if v.brush == "" {
		v.Select(c, true)
		return
	}
	from, to := v.at, v.inside(c)
	n := max(abs(to.String-from.String), abs(to.Fret-from.Fret))
	for i := 1; i <= n; i++ {
		q := Cell{from.String + quotient(i*(to.String-from.String), n), from.Fret + quotient(i*(to.Fret-from.Fret), n)}
		if !slices.Contains(v.stroke, q) {
			v.stroke = append(v.stroke, q)
		}
	}
	v.Select(to, false)
}

// Release says what was painted, as one change.
func (v *Play) Release() error {
	cells := v.stroke
	v.Drop()
	return v.set(cells, v.brush)
}

// Drop gives up what was being painted.
func (v *Play) Drop() { v.stroke, v.held = nil, false }

func abs(n int) int { return max(n, -n) }

// quotient is a/b to the nearest whole, b > 0.
func quotient(a, b int) int {
	if a < 0 {
		return -quotient(-a, b)
	}
	return (2*a + b) / (2 * b)
}

// RestClean says that every position not listed by itself is clean;
// RestNotTried takes that back.
func (v *Play) RestClean() error { return v.s.SetOtherSounds(record.Clean) }

// RestNotTried says that every position not listed by itself was not tried.
func (v *Play) RestNotTried() error { return v.s.SetOtherSounds(record.NotTried) }

// Summary counts the positions in a sentence.
func (v *Play) Summary() string {
	sc := v.s.Scene()
	if v.Frets() == 0 {
		return "This instrument has no frets, so there are no positions to try one by one."
	}
	if sc.Grade == nil {
		return Words(sc.GradeError)
	}
	p := sc.Grade.Playing
	if p.Tried == 0 {
		return fmt.Sprintf("None of %d positions was tried yet.", p.Total)
	}
	return fmt.Sprintf("%d of %d positions tried, %d clean.", p.Tried, p.Total, p.Clean)
}

// FaultWords are the sounds of positions that do not speak cleanly.
var FaultWords = []record.Sound{record.Buzz, record.Choke, record.Dead}

// Faults names the positions that do not speak cleanly, a line for each of
// FaultWords, "" where there are none: "Buzz: string 1 at frets 19, 20; string 3
// at fret 4".
func (v *Play) Faults() []string {
	rows := v.Sounds()
	out := make([]string, len(FaultWords))
	for i, snd := range FaultWords {
		var on []string
		for s, row := range rows {
			var at []string
			for f, q := range row {
				if q == snd {
					at = append(at, fmt.Sprint(f+1))
				}
			}
			if len(at) > 0 {
				on = append(on, fmt.Sprintf("string %d at %s %s", s+1, map[bool]string{true: "fret", false: "frets"}[len(at) == 1], strings.Join(at, ", ")))
			}
		}
		if len(on) > 0 {
			out[i] = Capital(string(snd)) + ": " + strings.Join(on, "; ")
		}
	}
	return out
}

// Text is the grid as text: a row a string, a letter a fret, a point for clean
// and a dash for not tried.
func (v *Play) Text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%-10s", "fret")
	for f := 1; f <= v.Frets(); f++ {
		fmt.Fprintf(&b, "%3d", f)
	}
	b.WriteByte('\n')
	for s, row := range v.Sounds() {
		fmt.Fprintf(&b, "%-10s", fmt.Sprintf("string %d", s+1))
		for _, snd := range row {
			fmt.Fprintf(&b, "%3s", soundSign(snd))
		}
		b.WriteByte('\n')
	}
	return b.String()
}

func soundSign(snd record.Sound) string {
	switch snd {
	case record.Clean:
		return "."
	case record.NotTried:
		return "-"
	}
	return string(LetterOf(snd))
}
