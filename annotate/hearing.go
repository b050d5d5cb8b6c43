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

// KeepIntonations keeps the intonation of strings, in one change. A string that
// was read at the same fret before is replaced.
func (s *Session) KeepIntonations(list ...record.Intonation) error {
	if len(list) == 0 {
		return nil
	}
	sc := s.Scene()
	kept := slices.Clone(s.Setup().Intonations)
	for _, in := range list {
		if in.Fret == 0 {
			in.Fret = 12
		}
		if in.String < 1 || in.String > sc.Drawing.Strings {
			return fmt.Errorf("keep intonation: there is no string %d; this instrument has %d", in.String, sc.Drawing.Strings)
		}
		if in.Open == nil || in.Stopped == nil {
			return fmt.Errorf("keep intonation: string %d needs its open note and the one at fret %d", in.String, in.Fret)
		}
		kept = append(slices.DeleteFunc(kept, sameStop(in.String, in.Fret)), in)
	}
	slices.SortStableFunc(kept, func(a, b record.Intonation) int {
		return cmp.Or(cmp.Compare(a.String, b.String), cmp.Compare(a.Fret, b.Fret))
	})
	return s.SetSetup(intonationName(list), func(su *record.Setup) { su.Intonations = kept })
}

// RemoveIntonation takes the intonation of a string at a fret away.
func (s *Session) RemoveIntonation(str, fret int) error {
	if !slices.ContainsFunc(s.Setup().Intonations, sameStop(str, fret)) {
		return fmt.Errorf("remove intonation: none is kept of string %d at fret %d", str, fret)
	}
	return s.SetSetup(fmt.Sprintf("intonation of string %d: none", str), func(su *record.Setup) {
		su.Intonations = slices.DeleteFunc(slices.Clone(su.Intonations), sameStop(str, fret))
	})
}

func sameStop(str, fret int) func(record.Intonation) bool {
	return func(x record.Intonation) bool {
		return x.String == str && (x.Fret == fret || (x.Fret == 0 && fret == 12))
	}
}

// intonationName is what undo calls the change.
func intonationName(list []record.Intonation) string {
	if len(list) == 1 {
		return fmt.Sprintf("intonation of string %d", list[0].String)
	}
	return fmt.Sprintf("intonation of %d strings", len(list))
}

// humPrefix begins the ID of every reading of hum.
const humPrefix = "hum "

// KeepHum keeps the heard lines of the hum as readings, "hum 50 Hz", "hum 100
// Hz" ..., in dB below the note. Readings of an earlier hum go.
func (s *Session) KeepHum(h *pitch.Hum) error {
	if h == nil {
		return fmt.Errorf("keep hum: none was read")
	}
	var cs []record.Change
	for _, r := range s.Scene().Record.Readings {
		if strings.HasPrefix(r.ID, humPrefix) {
			cs = append(cs, record.Remove(record.ReadingTarget(r.ID)))
		}
	}
	how := fmt.Sprintf("from a recording, %s", h.Where)
	lines := h.Heard()
	for _, l := range lines {
		r := record.Reading{ID: fmt.Sprintf("%s%.0f Hz", humPrefix, l.Hz), Unit: HumUnit, Value: record.Quantity{Value: math.Round(l.Below*10) / 10, How: how}}
		c, err := record.Set(record.ReadingTarget(r.ID), r)
		if err != nil {
			return err
		}
		cs = append(cs, c)
	}
	if len(cs) == 0 {
		return fmt.Errorf("keep hum: no line of %d Hz is heard above the noise, so there is nothing to keep", h.Nominal)
	}
	return s.Do("Hum", cs...)
}

// HumUnit is the unit of a reading of hum.
const HumUnit = "dB below the note"
