package archive

import (
	"encoding/binary"
	"math"
	"time"
)

// field is something of a row that the index keeps in a column of its own, to
// compare, sort and count by. Values are texts; numbers are written as eight
// bytes that sort like them.
type field struct {
	name string
	of   func(*Row) string
	// key gives what a value is compared and sorted by; nil for itself.
	key func(string) string
	// sorted says that values in the order of their bytes are in that of their keys.
	sorted bool
}

// segmentFields are all of them. A field's number is its place, so that a change
// needs another indexVersion.
var segmentFields = []field{
	{name: "number", of: func(r *Row) string { return r.Number }, key: FoldText},
	{name: "maker", of: func(r *Row) string { return r.Maker }, key: FoldText},
	{name: "model", of: func(r *Row) string { return r.Model }, key: FoldText},
	{name: "class", of: func(r *Row) string { return r.Class }, key: FoldText},
	{name: "examiner", of: func(r *Row) string { return r.Examiner }, key: FoldText},
	{name: "shop", of: func(r *Row) string { return r.Shop }, key: FoldText},
	{name: "serial", of: func(r *Row) string { return r.Serial }, key: SerialKey},
	{name: "year", of: func(r *Row) string { return r.Year }, sorted: true},
	{name: "date", of: func(r *Row) string { return r.Date }, sorted: true},
	{name: "purpose", of: func(r *Row) string { return fold(r.Purpose) }, sorted: true},
	{name: "keyprint", of: func(r *Row) string { return r.Key }, sorted: true},
	{name: "verdict", of: func(r *Row) string { return r.Verdict }, sorted: true},
	{name: "filed", of: func(r *Row) string { return orderedInt(r.Filed.UnixMilli()) }, key: func(v string) string { return stamp(time.UnixMilli(intOf(v))) }, sorted: true},
	{name: "cond", of: func(r *Row) string { return orderedFloat(r.Index) }, sorted: true},
	{name: "size", of: func(r *Row) string { return orderedInt(r.Size) }, sorted: true},
	{name: "yearfrom", of: func(r *Row) string { return orderedInt(int64(r.YearFrom)) }, sorted: true},
	{name: "yearto", of: func(r *Row) string { return orderedInt(int64(r.YearTo)) }, sorted: true},
	{name: "class6", of: func(r *Row) string { return orderedInt(int64(r.Condition)) }, sorted: true},
	{name: "photos", of: func(r *Row) string { return orderedInt(int64(r.Photos)) }, sorted: true},
	{name: "originals", of: func(r *Row) string { return orderedInt(int64(r.Originals)) }, sorted: true},
	{name: "marks", of: func(r *Row) string { return orderedInt(int64(len(r.Kinds))) }, sorted: true},
	{name: "countersigned", of: func(r *Row) string { return yesNo(r.Countersigned) }, sorted: true},
	{name: "stamped", of: func(r *Row) string { return yesNo(r.Stamped) }, sorted: true},
}

// fieldOf gives the number of a field by the name of its column in a query.
var fieldOf = func() map[string]int {
	out := map[string]int{}
	for i, f := range segmentFields {
		out[f.name] = i
	}
	out["serialkey"] = out["serial"]
	return out
}()

func (f field) keyOf(value string) string {
	if f.key == nil {
		return value
	}
	return f.key(value)
}

func yesNo(b bool) string {
	if b {
		return orderedInt(1)
	}
	return orderedInt(0)
}

// orderedInt is a number as eight bytes that sort like it.
func orderedInt(n int64) string {
	var b [8]byte
	binary.BigEndian.PutUint64(b[:], uint64(n)^(1<<63))
	return string(b[:])
}

func intOf(v string) int64 {
	if len(v) != 8 {
		return 0
	}
	return int64(binary.BigEndian.Uint64([]byte(v)) ^ (1 << 63))
}

// orderedFloat is orderedInt for a number that may be missing; that one sorts
// below all others.
func orderedFloat(f *float64) string {
	if f == nil {
		return ""
	}
	u := math.Float64bits(*f + 0) // minus zero is zero
	if u>>63 == 1 {
		u = ^u
	} else {
		u |= 1 << 63
	}
	var b [8]byte
	binary.BigEndian.PutUint64(b[:], u)
	return string(b[:])
}

// ordered is the value of a query's range as a column has it.
func ordered(v any) string {
	switch v := v.(type) {
	case int:
		return orderedInt(int64(v))
	case float64:
		return orderedFloat(&v)
	case string:
		return v
	}
	return ""
}
