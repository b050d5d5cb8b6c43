package grade

import (
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"
)

// tableShape is what JSON of one Go type looks like: the entries of an object, the
// length of a list.
type tableShape struct {
	entries map[string]*tableShape // of an object; nil for others
	each    *tableShape            // of a list or of an object with free names
	free    bool                   // an object with free names
	length  int                    // of a list; 0 for any
}

// rubricShape is the shape of a whole table: the entries of Rubric and those
// of tableFile in one object.
var rubricShape = func() *tableShape {
	out := shapeOf(reflect.TypeFor[Rubric]())
	maps.Copy(out.entries, shapeOf(reflect.TypeFor[tableFile]()).entries)
	return out
}()

func shapeOf(t reflect.Type) *tableShape {
	switch t.Kind() {
	case reflect.Struct:
		s := &tableShape{entries: map[string]*tableShape{}}
		for i := range t.NumField() {
			if name, _, _ := strings.Cut(t.Field(i).Tag.Get("json"), ","); name != "" {
				s.entries[name] = shapeOf(t.Field(i).Type)
			}
		}
		return s
	case reflect.Map:
		return &tableShape{free: true, each: shapeOf(t.Elem())}
	case reflect.Slice:
		return &tableShape{each: shapeOf(t.Elem())}
	case reflect.Array:
		return &tableShape{each: shapeOf(t.Elem()), length: t.Len()}
	}
	return nil
}

// match names the first place where a value does not have the shape. Texts and
// numbers are left to the reading itself.
func (s *tableShape) match(where string, v any) error {
	if s == nil {
		return nil
	}
	switch v := v.(type) {
	case map[string]any:
		if s.entries == nil && !s.free {
			return fmt.Errorf("%s is an object and should not be one", where)
		}
		for _, k := range slices.Sorted(maps.Keys(v)) {
			inner, ok := s.each, s.free
			if !s.free {
				inner, ok = s.entries[k]
			}
			if !ok {
				return fmt.Errorf("%s has the entry %q, which a rubric does not have; perhaps it is spelled otherwise", where, k)
			}
			if err := inner.match(k, v[k]); err != nil {
				return err
			}
		}
	case []any:
		if s.entries != nil || s.free {
			return fmt.Errorf("%s is a list and should not be one", where)
		}
		if s.length > 0 && len(v) != s.length {
			return fmt.Errorf("%s has %d values, it needs %d", where, len(v), s.length)
		}
		for i, e := range v {
			if err := s.each.match(fmt.Sprintf("%s, entry %d", where, i+1), e); err != nil {
				return err
			}
		}
	}
	return nil
}
