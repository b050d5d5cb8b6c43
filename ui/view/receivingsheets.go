package view

import (
	"fmt"
	"slices"

	"wornwood/annotate/draw"
	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// Marks are all marks that the drawings show: the report's own, and what is new.
func (m *Receiving) Marks() []record.Mark {
	out := slices.Clone(m.v.Record.Marks)
	for _, n := range m.v.Draft().New {
		mk := record.Mark{Number: n.Number, Kind: n.Kind}
		if n.At != nil {
			mk.On = []record.Place{{Side: n.Side, Shape: record.PointShape, Points: []record.Point{*n.At}}}
		}
		out = append(out, mk)
	}
	return out
}

// Tip gives the lines of the note beside a mark under the pointer.
func (m *Receiving) Tip(number int) []string {
	for i, r := range m.Rows() {
		if c := m.v.Draft().Checked; i < len(c) {
			if mk := m.v.MarkOf(c[i]); mk == nil || mk.Number != number {
				continue
			}
		} else if r.New != number {
			continue
		}
		return []string{join(": ", r.Label, string(r.Answer)), r.Says}
	}
	return nil
}

// Tabs and the next ones are the views of the outline, as on the Marks screen.
func (m *Receiving) Tabs() []outline.View { return m.v.Drawing.Views() }

// Tab is the view shown.
func (m *Receiving) Tab() outline.View {
	for _, t := range m.Tabs() {
		if t.ID == m.tab {
			return t
		}
	}
	return m.Tabs()[0]
}

// NextTab shows the group's next view.
func (m *Receiving) NextTab(group string) {
	var ids []string
	at := -1
	for _, t := range m.Tabs() {
		if t.Group == group {
			if t.ID == m.Tab().ID {
				at = len(ids)
			}
			ids = append(ids, t.ID)
		}
	}
	if len(ids) > 0 {
		m.tab = ids[(at+1)%len(ids)]
	}
}

// Photos are the photos that can be shown: those that the report carries, then
// those of what is new.
func (m *Receiving) Photos() []string {
	var out []string
	for _, p := range m.v.Record.Photos {
		if m.pics[p.ID] != nil {
			out = append(out, p.ID)
		}
	}
	for _, p := range m.v.Draft().Photos {
		if !slices.Contains(out, p.ID) {
			out = append(out, p.ID)
		}
	}
	return out
}

// Photo is the photo shown, "" for none; Picture is a photo as JPEG.
func (m *Receiving) Photo() string { return m.photo }

// Picture is a photo as an upright JPEG: the reduced one of the report, or one
// of something new.
func (m *Receiving) Picture(id string) ([]byte, error) {
	if b := m.pics[id]; b != nil {
		return b, nil
	}
	return m.v.Photo(id)
}

// Step shows the next photo, or with -1 the one before.
func (m *Receiving) Step(by int) {
	list := m.Photos()
	if i := slices.Index(list, m.photo); len(list) > 0 {
		m.photo = list[(i+by+len(list))%len(list)]
	}
}

// PhotoLine is what stands over the photo.
func (m *Receiving) PhotoLine() string {
	list := m.Photos()
	i := slices.Index(list, m.photo)
	if i < 0 {
		return "The report carries no photo that can be shown"
	}
	name := ""
	if p := m.v.Record.PhotoByID(m.photo); p != nil {
		if name = p.View; name == "" {
			name = p.Caption
		}
	} else {
		name = "yours"
	}
	return join(", ", fmt.Sprintf("Photo %d of %d", i+1, len(list)), name)
}

// bringForward shows a view and a photo that show a mark.
func (m *Receiving) bringForward(number int) {
	for _, n := range m.v.Draft().New {
		if n.Number == number && len(n.Photos) > 0 {
			m.photo = n.Photos[len(n.Photos)-1]
		}
	}
	for _, mk := range m.Marks() {
		if mk.Number != number {
			continue
		}
		if !slices.ContainsFunc(mk.Photos, func(p record.PhotoPlace) bool { return p.Photo == m.photo }) {
			for _, p := range mk.Photos {
				if m.pics[p.Photo] != nil {
					m.photo = p.Photo
					break
				}
			}
		}
		m.showView(&mk)
	}
}

func (m *Receiving) showView(mk *record.Mark) {
	shown := func(t outline.View) bool {
		return slices.ContainsFunc(mk.On, func(p record.Place) bool {
			return p.Side == string(t.Side) && len(p.Points) > 0 && t.Bounds.Contains(draw.AnchorOf(p.Shape, p.Points))
		})
	}
	if shown(m.Tab()) {
		return
	}
	for _, t := range m.Tabs() {
		if shown(t) {
			m.tab = t.ID
			return
		}
	}
}
