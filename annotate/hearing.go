package annotate

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"wornwood/annotate/pitch"
	"wornwood/capture/record"
)

// Instrument is what the record says of the instrument before it is heard.
func (sc *Scene) Instrument() pitch.Instrument {
	return pitch.InstrumentOf(sc.Record.Setup, sc.Drawing.Class, sc.Drawing.Strings)
}

// Heard is what is kept of a recording: the intonation of strings, the hum, or
// both, and the recording itself.
type Heard struct {
	Intonations []record.Intonation
	Hum         *pitch.Hum         // nil keeps none
	Recording   *record.Attachment // stored on the bench; nil where it is not kept
}

// KeepHeard keeps what was heard, in one change. A string that was read at the
// same fret before is replaced; readings of an earlier hum go when another comes.
func (s *Session) KeepHeard(h Heard) error {
	cs, err := s.intonationChanges(h)
	if err != nil {
		return fmt.Errorf("keep what was heard: %w", err)
	}
	hum, err := s.humChanges(h.Hum)
	if err != nil {
		return fmt.Errorf("keep what was heard: %w", err)
	}
	if cs = append(cs, hum...); len(cs) == 0 {
		return fmt.Errorf("keep what was heard: there is no string with both its notes, and no hum")
	}
	if a := h.Recording; a != nil && !slices.ContainsFunc(s.Scene().Record.Attachments, func(b record.Attachment) bool { return b.ID == a.ID }) {
		c, err := record.Set(record.AttachmentTarget(a.ID), *a)
		if err != nil {
			return err
		}
		cs = append(cs, c)
	}
	return s.Do(h.name(), cs...)
}

// name is what undo calls the change.
func (h Heard) name() string {
	switch n := len(h.Intonations); {
	case n == 0:
		return "Set hum"
	case n == 1:
		return fmt.Sprintf("Set intonation of string %d", h.Intonations[0].String)
	default:
		return fmt.Sprintf("Set intonation of %d strings", n)
	}
}

func (s *Session) intonationChanges(h Heard) ([]record.Change, error) {
	if len(h.Intonations) == 0 {
		return nil, nil
	}
	strings := s.Scene().Drawing.Strings
	su := s.Setup()
	for _, in := range h.Intonations {
		if in.Fret == 0 {
			in.Fret = 12
		}
		if in.String < 1 || in.String > strings {
			return nil, fmt.Errorf("there is no string %d; this instrument has %d", in.String, strings)
		}
		if in.Open == nil || in.Stopped == nil {
			return nil, fmt.Errorf("string %d needs its open note and the one at fret %d", in.String, in.Fret)
		}
		if h.Recording != nil {
			in.File = h.Recording.ID
		}
		su.Intonations = append(slices.DeleteFunc(su.Intonations, sameStop(in.String, in.Fret)), in)
	}
	slices.SortStableFunc(su.Intonations, func(a, b record.Intonation) int {
		return cmp.Or(cmp.Compare(a.String, b.String), cmp.Compare(a.Fret, b.Fret))
	})
	c, err := record.Set("setup", su)
	return []record.Change{c}, err
}

// RemoveIntonation takes the intonation of a string at a fret away.
func (s *Session) RemoveIntonation(str, fret int) error {
	if !slices.ContainsFunc(s.Setup().Intonations, sameStop(str, fret)) {
		return fmt.Errorf("remove intonation: none is kept of string %d at fret %d", str, fret)
	}
	return s.SetSetup(fmt.Sprintf("intonation of string %d: none", str), func(su *record.Setup) {
		su.Intonations = slices.DeleteFunc(su.Intonations, sameStop(str, fret))
		if len(su.Intonations) == 0 {
			su.Intonations = nil
		}
	})
}

func sameStop(str, fret int) func(record.Intonation) bool {
	return func(x record.Intonation) bool {
		return x.String == str && (x.Fret == fret || (x.Fret == 0 && fret == 12))
	}
}

// humPrefix begins the ID of every reading of hum.
const humPrefix = "hum "

// HumUnit is the unit of a reading of hum.
const HumUnit = "dB below the note"

// humChanges keeps the heard lines as readings, "hum 50 Hz", "hum 100 Hz" ...
func (s *Session) humChanges(h *pitch.Hum) ([]record.Change, error) {
	if h == nil || len(h.Heard()) == 0 {
		return nil, nil
	}
	var cs []record.Change
	for _, r := range s.Scene().Record.Readings {
		if strings.HasPrefix(r.ID, humPrefix) {
			cs = append(cs, record.Remove(record.ReadingTarget(r.ID)))
		}
	}
	for _, l := range h.Heard() {
		r := record.Reading{ID: fmt.Sprintf("%s%.0f Hz", humPrefix, l.Hz), Unit: HumUnit,
			Value: record.Quantity{Value: math.Round(l.Below*10) / 10, How: "recording, " + h.Where}}
		c, err := record.Set(record.ReadingTarget(r.ID), r)
		if err != nil {
			return nil, err
		}
		cs = append(cs, c)
	}
	return cs, nil
}
