package view

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wornwood/capture/record"
)

func TestLettersFillTheGrid(t *testing.T) {
	s := opened(t)
	v := NewPlay(s)
	for _, l := range "cbhdn" {
		must(t, v.Type(l))
	}
	must(t, v.Type('x'))
	must(t, v.Type('B'))
	want := []record.Sound{record.Clean, record.Buzz, record.Choke, record.Dead, record.NotTried, record.Buzz, record.NotTried}
	if got := v.Sounds()[0][:7]; !slices.Equal(got, want) || v.Cursor() != (Cell{1, 7}) {
		t.Errorf("%v, cursor %+v", got, v.Cursor())
	}
	v.Back()
	v.Back()
	must(t, v.Type('c'))
	if v.Sound(1, 5) != record.Clean || v.Cursor() != (Cell{1, 6}) {
		t.Errorf("%q, cursor %+v", v.Sound(1, 5), v.Cursor())
	}
	v.Select(Cell{6, 22}, false)
	must(t, v.Type('d'))
	must(t, v.Type('b')) // the last position of all: the cursor stays
	if v.Cursor() != (Cell{6, 22}) || v.Sound(6, 22) != record.Buzz {
		t.Errorf("cursor %+v, %q", v.Cursor(), v.Sound(6, 22))
	}
	v.Select(Cell{2, 1}, false)
	v.Back()
	if v.Cursor() != (Cell{1, 22}) {
		t.Errorf("back over the nut is %+v", v.Cursor())
	}
}

func TestBlocks(t *testing.T) {
	v := NewPlay(opened(t))
	v.Select(Cell{2, 3}, false)
	v.Move(2, 4, true)
	if from, to := v.Block(); from != (Cell{2, 3}) || to != (Cell{4, 7}) {
		t.Errorf("%+v to %+v", from, to)
	}
	must(t, v.Type('b'))
	n := 0
	for _, row := range v.Sounds() {
		for _, snd := range row {
			if snd == record.Buzz {
				n++
			}
		}
	}
	if n != 15 || v.Cursor() != (Cell{4, 7}) {
		t.Errorf("%d buzz, cursor %+v", n, v.Cursor())
	}
	v.Move(-9, -99, true) // not past the edge
	if from, to := v.Block(); from != (Cell{1, 1}) || to != (Cell{2, 3}) {
		t.Errorf("%+v to %+v", from, to)
	}
	v.SelectAll()
	must(t, v.Type('c'))
	if v.Summary() != "132 of 132 positions tried, 132 clean." || strings.Join(v.Faults(), "") != "" {
		t.Error(v.Summary(), v.Faults())
	}
}

// Painting over any way is one change, over a chain of neighbouring positions
// from the first to the last, and one undo takes all of it back.
func TestStrokes(t *testing.T) {
	s := opened(t)
	v := NewPlay(s)
	rapid.Check(t, func(t *rapid.T) {
		cell := rapid.Custom(func(t *rapid.T) Cell {
			return Cell{rapid.IntRange(-1, 8).Draw(t, "s"), rapid.IntRange(-1, 25).Draw(t, "f")}
		})
		stops := rapid.SliceOfN(cell, 1, 5).Draw(t, "stops")
		before := v.Sounds()
		v.SetBrush(record.Dead)
		v.Press(stops[0])
		for _, c := range stops[1:] {
			v.Drag(c)
		}
		for i, c := range v.stroke {
			if i > 0 && len(stops) == 2 && max(abs(c.String-v.stroke[i-1].String), abs(c.Fret-v.stroke[i-1].Fret)) != 1 {
				t.Fatalf("the stroke jumps to %+v: %+v", c, v.stroke)
			}
		}
		shown := v.Sounds()
		if err := v.Release(); err != nil {
			t.Fatal(err)
		}
		if !slices.EqualFunc(shown, v.Sounds(), slices.Equal) {
			t.Fatal("what was shown is not what was said")
		}
		last := v.inside(stops[len(stops)-1])
		if v.Sound(last.String, last.Fret) != record.Dead || v.Cursor() != last {
			t.Fatalf("the stroke does not end at %+v", last)
		}
		if _, err := s.Undo(); err != nil {
			t.Fatal(err)
		}
		if !slices.EqualFunc(before, v.Sounds(), slices.Equal) {
			t.Fatal("one undo does not take the stroke back")
		}
	})
	v.Press(Cell{1, 1})
	v.Drop()
	v.Drag(Cell{1, 9})
	if len(v.stroke) != 0 {
		t.Error("a dropped stroke goes on")
	}
}

func TestGridAsText(t *testing.T) {
	s := opened(t)
	v := NewPlay(s)
	must(t, v.RestClean())
	must(t, v.SayAt([]int{2}, []int{3, 4}, record.Buzz))
	must(t, v.SayAt([]int{1, 3}, []int{20}, record.Choke))
	must(t, v.SayAt([]int{6}, []int{22}, record.NotTried))
	lines := strings.Split(v.Text(), "\n")
	if len(lines) != 8 || lines[0] != "fret        1  2  3  4  5  6  7  8  9 10 11 12 13 14 15 16 17 18 19 20 21 22" ||
		lines[2] != "string 2    .  .  b  b"+strings.Repeat("  .", 18) || lines[6] != "string 6  "+strings.Repeat("  .", 21)+"  -" {
		t.Errorf("%s", v.Text())
	}
	if got := v.Faults(); got[0] != "Buzz: string 2 at frets 3, 4" || got[1] != "Choke: string 1 at fret 20; string 3 at fret 20" || got[2] != "" {
		t.Errorf("%q", got)
	}
	must(t, NewIdentity(s).class().Set("violin"))
	if v.Frets() != 0 || !strings.Contains(v.Summary(), "no frets") {
		t.Errorf("%d frets: %s", v.Frets(), v.Summary())
	}
	must(t, v.Type('b')) // nothing to say it of
}
