package annotate

import (
	"encoding/json"
	"fmt"
	"strconv"
	"strings"

	"wornwood/annotate/electronics"
	"wornwood/capture/record"
)

// idWords begin the identities of components, so that a person can type them:
// "pot-2".
var idWords = map[record.ComponentKind]string{
	record.PickupComponent: "pickup", record.PotComponent: "pot", record.CapacitorComponent: "cap", record.ResistorComponent: "res",
	record.SwitchComponent: "switch", record.JackComponent: "jack", record.PreampComponent: "preamp", record.BatteryComponent: "battery",
	record.SpeakerComponent: "speaker", record.OtherComponent: "other",
}

// AddComponent lists a component of the electronics under an identity of its
// own, which it returns: one more than the highest of its kind.
func (s *Session) AddComponent(c record.Component) (id string, err error) {
	ids, err := s.AddComponents("", []record.Component{c})
	if err != nil {
		return "", err
	}
	return ids[0], nil
}

// AddComponents lists several components in one change that undo calls by the
// name; "" takes the first component's.
func (s *Session) AddComponents(name string, list []record.Component) (ids []string, err error) {
	rec := s.Scene().Record
	if n := len(rec.Components) + len(list); n > record.MaxComponents {
		return nil, fmt.Errorf("add component: an examination holds %d of them, not %d", record.MaxComponents, n)
	}
	highest := map[record.ComponentKind]int{}
	for _, c := range rec.Components {
		highest[c.Kind] = max(highest[c.Kind], trailingNumber(c.ID))
	}
	var cs []record.Change
	for _, c := range list {
		word, ok := idWords[c.Kind]
		if !ok {
			return nil, fmt.Errorf("add component: there is no kind %q", c.Kind)
		}
		highest[c.Kind]++
		c.ID = word + "-" + strconv.Itoa(highest[c.Kind])
		change, err := record.Set(record.ComponentTarget(c.ID), c)
		if err != nil {
			return nil, err
		}
		if name == "" {
			name = "Add " + electronics.Name(c)
		}
		cs, ids = append(cs, change), append(ids, c.ID)
	}
	if len(cs) == 0 {
		return nil, nil
	}
	return ids, s.Do(name, cs...)
}

// trailingNumber is the figure at the end of an identity, 0 for none.
func trailingNumber(id string) int {
	n, err := strconv.Atoi(id[strings.LastIndex(id, "-")+1:])
	if err != nil || n < 0 || n > 1e6 {
		return 0
	}
	return n
}

// Component returns a copy of the component, all its own, and whether there is
// one.
func (s *Session) Component(id string) (record.Component, bool) {
	for _, c := range s.Scene().Record.Components {
		if c.ID == id {
			return copyComponent(c), true
		}
	}
	return record.Component{}, false
}

// copyComponent copies what the pointers of a component point to as well: the
// one in a scene must not change.
func copyComponent(c record.Component) record.Component {
	b, err := json.Marshal(c)
	if err == nil {
		var out record.Component
		if err = json.Unmarshal(b, &out); err == nil {
			return out
		}
	}
	return c // a record holds nothing that cannot be written as JSON
}

// SetComponent changes what is said of one component; its identity and kind
// stay. what names the change for undo: "Resistance".
func (s *Session) SetComponent(id, what string, edit func(*record.Component)) error {
	c, ok := s.Component(id)
	if !ok {
		return fmt.Errorf("set %s: no component %q is listed", lowerFirst(what), id)
	}
	kind := c.Kind
	edit(&c)
	c.ID, c.Kind = id, kind
	return s.set(fmt.Sprintf("%s of %s", what, electronics.Name(c)), record.ComponentTarget(id), c)
}

// SetComponents changes several components in one step of undo.
func (s *Session) SetComponents(name string, ids []string, edit func(*record.Component)) error {
	var cs []record.Change
	for _, id := range ids {
		c, ok := s.Component(id)
		if !ok {
			return fmt.Errorf("%s: no component %q is listed", lowerFirst(name), id)
		}
		kind := c.Kind
		edit(&c)
		c.ID, c.Kind = id, kind
		change, err := record.Set(record.ComponentTarget(id), c)
		if err != nil {
			return err
		}
		cs = append(cs, change)
	}
	if len(cs) == 0 {
		return nil
	}
	return s.Do(name, cs...)
}

// RemoveComponent takes a component off the list.
func (s *Session) RemoveComponent(id string) error {
	c, ok := s.Component(id)
	if !ok {
		return fmt.Errorf("remove component: no component %q is listed", id)
	}
	return s.Do("Remove "+electronics.Name(c), record.Remove(record.ComponentTarget(id)))
}

// SetWiring changes what was seen of the wiring. what names the change for
// undo: "State".
func (s *Session) SetWiring(what string, edit func(*record.Wiring)) error {
	var w record.Wiring
	if old := s.Scene().Record.Wiring; old != nil {
		w = *old
		w.Files = append([]string(nil), old.Files...)
	}
	edit(&w)
	return s.set(what+" of the wiring", "wiring", w)
}
