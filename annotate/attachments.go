package annotate

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"wornwood/capture/media"
	"wornwood/capture/record"
)

// Attachment is the attachment of that identity in a record, nil for none.
func Attachment(rec *record.Record, id string) *record.Attachment {
	for i := range rec.Attachments {
		if rec.Attachments[i].ID == id {
			return &rec.Attachments[i]
		}
	}
	return nil
}

// AddAttachments enters files that the bench has stored, in one step of undo.
// One that the examination has already stays as it is; added are the identities
// of the others.
func (s *Session) AddAttachments(list ...record.Attachment) (added []string, err error) {
	rec := s.Scene().Record
	var cs []record.Change
	name := ""
	for _, a := range list {
		if Attachment(rec, a.ID) != nil || slices.Contains(added, a.ID) {
			continue
		}
		if len(rec.Attachments)+len(added) >= record.MaxEntries {
			return nil, fmt.Errorf("attach %s: an examination holds %d attachments", a.Name, record.MaxEntries)
		}
		a.About, a.Date = strings.TrimSpace(a.About), strings.TrimSpace(a.Date)
		c, err := record.Set(record.AttachmentTarget(a.ID), a)
		if err != nil {
			return nil, err
		}
		cs, added, name = append(cs, c), append(added, a.ID), a.Name
	}
	switch len(cs) {
	case 0:
		return nil, nil
	case 1:
		return added, s.Do("Attach "+name, cs...)
	}
	return added, s.Do(fmt.Sprintf("Attach %d files", len(cs)), cs...)
}

// SetAttachment changes what is said of an attachment: its kind, what it is
// about, its date. The file and all that follows from it stay.
func (s *Session) SetAttachment(id, what string, edit func(*record.Attachment)) error {
	old := Attachment(s.Scene().Record, id)
	if old == nil {
		return fmt.Errorf("set attachment: the examination has none of that identity")
	}
	a := *old
	edit(&a)
	b := *old
	b.Kind, b.About, b.Date = a.Kind, strings.TrimSpace(a.About), strings.TrimSpace(a.Date)
	if b == *old {
		return nil
	}
	if kinds := media.Kinds(b.Type); b.Kind != old.Kind && !slices.Contains(kinds, b.Kind) {
		return fmt.Errorf("set attachment: %s (%s) cannot be a %s; it can be a %s", b.Name, b.Type, b.Kind, strings.Join(kinds, " or a "))
	}
	return s.set(what+" of "+b.Name, record.AttachmentTarget(id), b)
}

// RemoveAttachment takes an attachment out of the examination and out of
// everything that names it. The file stays on the bench.
func (s *Session) RemoveAttachment(id string) error {
	rec := s.Scene().Record
	a := Attachment(rec, id)
	if a == nil {
		return fmt.Errorf("remove attachment: the examination has none of that identity")
	}
	cs, err := referencesWithout(rec, id)
	if err != nil {
		return err
	}
	return s.Do("Remove "+a.Name, append(cs, record.Remove(record.AttachmentTarget(id)))...)
}

// TiedTo says in words what names a photo or an attachment.
func TiedTo(rec *record.Record, file string) []string {
	var out []string
	has := func(list []string) bool { return slices.Contains(list, file) }
	for i := range rec.Claims {
		if has(rec.Claims[i].Files) {
			out = append(out, "claim on "+claimName(&rec.Claims[i]))
		}
	}
	for _, m := range rec.Materials {
		if has(m.Document) {
			out = append(out, materialName(m))
		}
	}
	for i := range rec.Evidence {
		if has(rec.Evidence[i].Files) {
			out = append(out, "dating: "+evidenceName(&rec.Evidence[i]))
		}
	}
	for _, e := range rec.Extras {
		if has(e.Files) {
			out = append(out, extraName(e))
		}
	}
	if rec.Wiring != nil && has(rec.Wiring.Files) {
		out = append(out, "wiring")
	}
	return out
}

// referencesWithout are the changes that take a file out of claims, materials,
// evidence, extras, components and wiring.
func referencesWithout(rec *record.Record, file string) ([]record.Change, error) {
	var cs []record.Change
	var failed error
	drop := func(list *[]string, target string, v any) {
		kept := without(*list, func(f string) bool { return f == file })
		if len(kept) == len(*list) {
			return
		}
		if *list = kept; len(kept) == 0 {
			*list = nil
		}
		c, err := record.Set(target, reflect.ValueOf(v).Elem().Interface())
		if err != nil && failed == nil {
			failed = err
		}
		cs = append(cs, c)
	}
	for _, c := range rec.Claims {
		drop(&c.Files, record.ClaimTarget(c.ID), &c)
	}
	for _, m := range rec.Materials {
		drop(&m.Document, record.MaterialTarget(m.ID), &m)
	}
	for _, e := range rec.Evidence {
		drop(&e.Files, record.EvidenceTarget(e.ID), &e)
	}
	for _, e := range rec.Extras {
		drop(&e.Files, record.ExtraTarget(e.ID), &e)
	}
	for _, c := range rec.Components {
		drop(&c.Photos, record.ComponentTarget(c.ID), &c)
	}
	if rec.Wiring != nil {
		w := *rec.Wiring
		drop(&w.Files, "wiring", &w)
	}
	return cs, failed
}
