package record

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Change replaces one entity of a Record by another. Target names the entity:
//
//	examination  instrument  playing  notExamined  wiring  setup
//	photo/ID  mark/NUMBER  part/ID  claim/ID  reading/ID  component/ID
//	evidence/ID  attachment/ID  extra/ID  material/ID
//
// Value is the whole entity as JSON, or null to take a listed one away.
// A Change says what the entity becomes, not what happened to it, so replaying
// the same Change twice does no harm.
type Change struct {
	Target string          `json:"target"`
	Value  json.RawMessage `json:"value"`
}

// Set makes a Change that gives target the value v.
func Set(target string, v any) (Change, error) {
	b, err := json.Marshal(v)
	if err != nil {
		return Change{}, fmt.Errorf("write %s: %w", target, err)
	}
	return Change{Target: target, Value: b}, nil
}

// Remove makes a Change that takes a listed entity away.
func Remove(target string) Change {
	return Change{Target: target, Value: json.RawMessage("null")}
}

// MarkTarget, PhotoTarget, PartTarget and the next name entities in lists.
func MarkTarget(n int) string           { return "mark/" + strconv.Itoa(n) }
func PhotoTarget(id string) string      { return "photo/" + id }
func PartTarget(id PartID) string       { return "part/" + string(id) }
func ClaimTarget(id string) string      { return "claim/" + id }
func ReadingTarget(id string) string    { return "reading/" + id }
func ComponentTarget(id string) string  { return "component/" + id }
func EvidenceTarget(id string) string   { return "evidence/" + id }
func AttachmentTarget(id string) string { return "attachment/" + id }
func ExtraTarget(id string) string      { return "extra/" + id }
func MaterialTarget(id string) string   { return "material/" + id }

func isNull(v json.RawMessage) bool { return len(v) == 0 || string(v) == "null" }
func unknownTarget(t string) error {
	return fmt.Errorf("apply change: %q is not a part of a record", t)
}
func badValue(t string, e error) error { return fmt.Errorf("apply change to %s: %w", t, e) }

// Apply makes the change and returns its inverse, the Change that restores
// what was there. On an error the record is as it was.
func (r *Record) Apply(c Change) (inverse Change, err error) {
	kind, id, listed := strings.Cut(c.Target, "/")
	if !listed {
		return r.applySingle(c)
	}
	switch kind {
	case "photo":
		return applyListed(&r.Photos, c, func(p Photo) bool { return p.ID == id }, nil)
	case "mark":
		n, err := strconv.Atoi(id)
		if err != nil || n < 1 {
			return Change{}, unknownTarget(c.Target)
		}
		return applyListed(&r.Marks, c, func(m Mark) bool { return m.Number == n },
			func(a, b Mark) int { return a.Number - b.Number })
	case "part":
		return applyListed(&r.Parts, c, func(p Part) bool { return string(p.ID) == id }, nil)
	case "claim":
		return applyListed(&r.Claims, c, func(x Claim) bool { return x.ID == id }, nil)
	case "reading":
		return applyListed(&r.Readings, c, func(x Reading) bool { return x.ID == id }, nil)
	}
	return r.applyFurther(c, kind, id)
}

// applyFurther is Apply for what is kept beside marks, parts and photos.
func (r *Record) applyFurther(c Change, kind, id string) (Change, error) {
	switch kind {
	case "component":
		return applyListed(&r.Components, c, func(x Component) bool { return x.ID == id }, nil)
	case "evidence":
		return applyListed(&r.Evidence, c, func(x Evidence) bool { return x.ID == id }, nil)
	case "attachment":
		return applyListed(&r.Attachments, c, func(x Attachment) bool { return x.ID == id }, nil)
	case "extra":
		return applyListed(&r.Extras, c, func(x Extra) bool { return x.ID == id }, nil)
	case "material":
		return applyListed(&r.Materials, c, func(x Material) bool { return x.ID == id }, nil)
	}
	return Change{}, unknownTarget(c.Target)
}

func (r *Record) applySingle(c Change) (Change, error) {
	switch c.Target {
	case "examination":
		return applyValue(&r.Examination, c)
	case "instrument":
		return applyValue(&r.Instrument, c)
	case "playing":
		return applyValue(&r.Playing, c)
	case "notExamined":
		return applyValue(&r.NotExamined, c)
	case "wiring":
		return applyValue(&r.Wiring, c)
	case "setup":
		return applyValue(&r.Setup, c)
	}
	return Change{}, unknownTarget(c.Target)
}

func applyValue[T any](dst *T, c Change) (Change, error) {
	inv, err := Set(c.Target, *dst)
	if err != nil {
		return Change{}, err
	}
	var v T
	if err := json.Unmarshal(c.Value, &v); err != nil {
		return Change{}, badValue(c.Target, err)
	}
	*dst = v
	return inv, nil
}

// applyListed replaces, inserts or removes one element. The list is copied, so
// that slices handed out earlier stay as they were. An inverse of a removal
// carries no place: lists without an order of their own get the element back
// at the end, which their readers do not depend on.
func applyListed[T any](list *[]T, c Change, is func(T) bool, order func(a, b T) int) (Change, error) {
	i := slices.IndexFunc(*list, is)
	inv := Remove(c.Target)
	if i >= 0 {
		var err error
		if inv, err = Set(c.Target, (*list)[i]); err != nil {
			return Change{}, err
		}
	}
	out := slices.Clone(*list)
	if isNull(c.Value) {
		if i >= 0 {
			out = slices.Delete(out, i, i+1)
		}
		*list = out
		return inv, nil
	}
	var v T
	if err := json.Unmarshal(c.Value, &v); err != nil {
		return Change{}, badValue(c.Target, err)
	}
	if !is(v) {
		return Change{}, badValue(c.Target, fmt.Errorf("the value carries another identity"))
	}
	if i >= 0 {
		out[i] = v
	} else {
		out = append(out, v)
	}
	if order != nil {
		slices.SortStableFunc(out, order)
	}
	*list = out
	return inv, nil
}

// ApplyAll makes several changes as one: either all or none. The inverses come
// back in the order in which they undo.
func (r *Record) ApplyAll(cs []Change) (inverse []Change, err error) {
	saved := *r
	for _, c := range cs {
		inv, err := r.Apply(c)
		if err != nil {
			*r = saved
			return nil, err
		}
		inverse = append(inverse, inv)
	}
	slices.Reverse(inverse)
	return inverse, nil
}
