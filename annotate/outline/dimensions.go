package outline

import (
	"reflect"
	"strings"
)

// Dimension is one figure of a class and where it comes from.
type Dimension struct {
	Name   string // in the trade's words
	MM     float64
	Source string
}

// Dimensions lists every figure that the class is drawn from, in millimetres
// at its usual scale length, nil for an unknown class.
func Dimensions(class string) []Dimension {
	c := byName[class]
	if c == nil {
		return nil
	}
	var out []Dimension
	collect(reflect.ValueOf(c).Elem(), "", &out)
	return out
}

// collect walks the table for its figures. Reading unexported fields by
// reflection is allowed as long as nothing is set.
func collect(v reflect.Value, name string, out *[]Dimension) {
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			collect(v.Elem(), name, out)
		}
	case reflect.Slice:
		for i := range v.Len() {
			collect(v.Index(i), "", out)
		}
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[figure]() {
			if s := v.Field(1).String(); s != "" {
				*out = append(*out, Dimension{strings.TrimSpace(name), v.Field(0).Float(), s})
			}
			return
		}
		for i := range v.NumField() {
			collect(v.Field(i), v.Type().Field(i).Tag.Get("dim"), out)
		}
	}
}
