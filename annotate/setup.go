package annotate

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// frets is how many frets of the drawing can be played; a fretless instrument
// has none, whatever its board would have room for.
func frets(d *outline.Drawing) int {
	if d.Fretless {
		return 0
	}
	return d.Frets
}

// SetSound says how one string speaks at one fret.
func (s *Session) SetSound(str, fret int, snd record.Sound) error {
	return s.SetSounds([]record.Position{{String: str, Fret: fret, Sound: snd}})
}

// SetSounds says how several positions speak, in one change. What they say
// already makes no entry. A position that the instrument does not have is
// refused.
func (s *Session) SetSounds(ps []record.Position) error {
	sc := s.Scene()
	now := map[[2]int]record.Sound{}
	for _, q := range sc.Record.Playing.Positions {
		now[[2]int{q.String, q.Fret}] = q.Sound
	}
	others := sc.Record.Playing.At(0, 0) // a position that is never listed
	var told []record.Position
	for _, p := range ps {
		if p.String < 1 || p.String > sc.Drawing.Strings || p.Fret < 1 || p.Fret > frets(sc.Drawing) {
			return fmt.Errorf("set sound: string %d has no fret %d; this instrument has %d strings and %d frets", p.String, p.Fret, sc.Drawing.Strings, frets(sc.Drawing))
		}
		if !slices.Contains(record.Sounds(), p.Sound) {
			return fmt.Errorf("set sound: %q is none of the sounds", p.Sound)
		}
		k := [2]int{p.String, p.Fret}
		was, listed := now[k]
		if !listed {
			was = others
		}
		if was == p.Sound {
			continue
		}
		told, now[k] = append(told, p), p.Sound
	}
	if len(told) == 0 {
		return nil
	}
	return s.set(soundsName(told), "playing", listed(now, sc.Record.Playing.Others, others))
}

// listed is the grid in the order of its strings and frets; positions that
// sound like the others are not listed.
func listed(now map[[2]int]record.Sound, as, others record.Sound) record.Playing {
	p := record.Playing{Others: as}
	for k, snd := range now {
		if snd != others {
			p.Positions = append(p.Positions, record.Position{String: k[0], Fret: k[1], Sound: snd})
		}
	}
	slices.SortFunc(p.Positions, func(a, b record.Position) int {
		return cmp.Or(cmp.Compare(a.String, b.String), cmp.Compare(a.Fret, b.Fret))
	})
	return p
}

// soundsName is what undo calls a change of positions.
func soundsName(ps []record.Position) string {
	if len(ps) == 1 {
		return fmt.Sprintf("String %d fret %d: %s", ps[0].String, ps[0].Fret, ps[0].Sound)
	}
	for _, p := range ps[1:] {
		if p.Sound != ps[0].Sound {
			return fmt.Sprintf("Sounds of %d positions", len(ps))
		}
	}
	return fmt.Sprintf("%d positions: %s", len(ps), ps[0].Sound)
}

// SetOtherSounds says how every position speaks that is not listed by itself.
func (s *Session) SetOtherSounds(snd record.Sound) error {
	old := s.Scene().Record.Playing
	p := record.Playing{Others: snd}
	for _, q := range old.Positions {
		if q.Sound != snd {
			p.Positions = append(p.Positions, q)
		}
	}
	if old.At(0, 0) == snd && len(p.Positions) == len(old.Positions) {
		return nil
	}
	return s.set("Other positions: "+string(snd), "playing", p)
}

// SetReading records a measured value. One that is there already with the same
// value makes no entry.
func (s *Session) SetReading(r record.Reading) error {
	for _, q := range s.Scene().Record.Readings {
		if q == r {
			return nil
		}
	}
	return s.set("Reading "+r.ID, record.ReadingTarget(r.ID), r)
}

// RemoveReading takes a reading away; one that was never taken makes no entry.
func (s *Session) RemoveReading(id string) error {
	for _, q := range s.Scene().Record.Readings {
		if q.ID == id {
			return s.Do("Remove reading "+id, record.Remove(record.ReadingTarget(id)))
		}
	}
	return nil
}

// Setup is what was found of the setup, empty where nothing was said. It is a
// copy, which the caller may alter.
func (s *Session) Setup() record.Setup {
	var out record.Setup
	if p := s.Scene().Record.Setup; p != nil {
		out = *p
		out.Tuners, out.Intonations = slices.Clone(p.Tuners), slices.Clone(p.Intonations)
	}
	return out
}

// SetSetup changes the answers on the setup; what names the change for undo.
// An edit that changes nothing makes no entry, and a setup of which nothing is
// said any more is taken away.
func (s *Session) SetSetup(what string, edit func(*record.Setup)) error {
	old, now := s.Setup(), s.Setup()
	edit(&now)
	if reflect.DeepEqual(old, now) {
		return nil
	}
	if reflect.DeepEqual(now, record.Setup{Tuners: now.Tuners[:0:0], Intonations: now.Intonations[:0:0]}) {
		return s.set("Set "+what, "setup", (*record.Setup)(nil))
	}
	return s.set("Set "+what, "setup", now)
}

// SetTuner changes what was found of the tuner of one string. A tuner of which
// nothing is said any more is not listed.
func (s *Session) SetTuner(str int, edit func(*record.Tuner)) error {
	if n := s.Scene().Drawing.Strings; str < 1 || str > n {
		return fmt.Errorf("set tuner: there is no string %d; this instrument has %d", str, n)
	}
	return s.SetSetup(fmt.Sprintf("tuner of string %d", str), func(p *record.Setup) {
		t := record.Tuner{String: str}
		p.Tuners = slices.DeleteFunc(p.Tuners, func(q record.Tuner) bool {
			if q.String == str {
				t = q
			}
			return q.String == str
		})
		edit(&t)
		t.String, t.Feel = str, strings.TrimSpace(t.Feel)
		if t.Feel != "" || t.Backlash != nil {
			p.Tuners = append(p.Tuners, t)
			slices.SortStableFunc(p.Tuners, func(a, b record.Tuner) int { return cmp.Compare(a.String, b.String) })
		}
	})
}
