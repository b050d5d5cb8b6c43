package annotate

import (
	"reflect"

	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// regrade grades a record. Where it differs from the last scene's in nothing
// but how the instrument plays, only that is computed: with some hundred marks
// the rest takes longer than a person takes from one key to the next.
func (s *Session) regrade(rec *record.Record, d *outline.Drawing) (*grade.Case, error) {
	r := s.Rubric()
	if last := s.scene; last != nil && last.Case != nil && last.GradeError == nil && last.Grade.RubricHash == r.Hash() && last.Drawing == d && onlyPlayingDiffers(last.Record, rec) {
		return last.Case.Replayed(rec)
	}
	return grade.NewCase(rec, d, r)
}

// onlyPlayingDiffers tells whether two records are the same but for playing,
// readings and setup. Lists count as the same only where they are one list:
// changes copy those that they touch.
func onlyPlayingDiffers(a, b *record.Record) bool {
	x, y := reflect.ValueOf(a).Elem(), reflect.ValueOf(b).Elem()
	for i := range x.NumField() {
		switch x.Type().Field(i).Name {
		case "Playing", "Readings", "Setup":
			continue
		}
		p, q := x.Field(i), y.Field(i)
		if p.Kind() == reflect.Slice {
			if p.Len() != q.Len() || p.UnsafePointer() != q.UnsafePointer() {
				return false
			}
			continue
		}
		if !reflect.DeepEqual(p.Interface(), q.Interface()) {
			return false
		}
	}
	return true
}
