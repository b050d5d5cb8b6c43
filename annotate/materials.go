package annotate

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"wornwood/annotate/caution"
	"wornwood/capture/record"
)

// AddMaterial lists a material of legal weight and returns its identity: m1, m2
// ..., one more than the highest in use.
func (s *Session) AddMaterial(m record.Material) (id string, err error) {
	rec := s.Scene().Record
	if len(rec.Materials) >= record.MaxEntries {
		return "", fmt.Errorf("add material: an examination holds %d of them", record.MaxEntries)
	}
	m = tidyMaterial(m)
	if err := checkMaterial(rec, nil, &m); err != nil {
		return "", fmt.Errorf("add material: %w", err)
	}
	m.ID = numbered("m", rec.Materials, func(m record.Material) string { return m.ID })
	return m.ID, s.set("Add "+materialName(m), record.MaterialTarget(m.ID), m)
}

// SetMaterial changes a listed material by a function under a name such as
// "Part". The identity stays. A change that changes nothing makes no entry.
func (s *Session) SetMaterial(id, what string, edit func(*record.Material)) error {
	old := s.Material(id)
	if old == nil {
		return fmt.Errorf("set material: none %q is listed", id)
	}
	m := *old
	m.Document = slices.Clone(old.Document)
	edit(&m)
	m = tidyMaterial(m)
	m.ID = id
	if len(m.Document) == 0 {
		m.Document = nil
	}
	if reflect.DeepEqual(*old, m) {
		return nil
	}
	if err := checkMaterial(s.Scene().Record, old, &m); err != nil {
		return fmt.Errorf("set material: %w", err)
	}
	return s.set(what+" of "+materialName(m), record.MaterialTarget(id), m)
}

// RemoveMaterial takes a material off the list.
func (s *Session) RemoveMaterial(id string) error {
	m := s.Material(id)
	if m == nil {
		return fmt.Errorf("remove material: none %q is listed", id)
	}
	return s.Do("Remove "+materialName(*m), record.Remove(record.MaterialTarget(id)))
}

// Material is a copy of a listed material, nil for none of that identity.
func (s *Session) Material(id string) *record.Material {
	for _, m := range s.Scene().Record.Materials {
		if m.ID == id {
			m.Document = slices.Clone(m.Document)
			return &m
		}
	}
	return nil
}

// MaterialHow are the ways in which a material is judged, in the order of a
// form. Only a document that is attached takes "appears to be" away.
func MaterialHow() []string { return []string{"seen", "said", "tested", "document"} }

// MaterialGap says what a listed material lacks, "" for nothing. It blocks
// nothing.
func MaterialGap(rec *record.Record, m *record.Material) string {
	switch {
	case m.On == "":
		return "on which part is not said"
	case m.How == "document" && !caution.HasDocument(rec, *m):
		return "called documented, but no document is tied to it"
	}
	return ""
}

// tidyMaterial takes white space away, and writes a name of the table as the
// table does.
func tidyMaterial(m record.Material) record.Material {
	for _, p := range []*string{&m.Name, &m.On, &m.How, &m.Note} {
		*p = strings.TrimSpace(*p)
	}
	if t := caution.ByName(m.Name); t != nil {
		m.Name = t.Name
	}
	return m
}

func checkMaterial(rec *record.Record, old, m *record.Material) error {
	if m.Name == "" {
		return errors.New("say which material it is")
	}
	if m.How != "" && !slices.Contains(MaterialHow(), m.How) && (old == nil || old.How != m.How) {
		return fmt.Errorf("%q is no way to judge a material; the ways are %s", m.How, strings.Join(MaterialHow(), ", "))
	}
	for _, f := range m.Document {
		if (old == nil || !slices.Contains(old.Document, f)) && Attachment(rec, f) == nil {
			return errors.New("the examination has no such attachment; attach the document first")
		}
	}
	return nil
}

// materialName is what undo calls a material: "ebony on the fingerboard".
func materialName(m record.Material) string {
	return m.Name + caution.Place(m.On)
}
