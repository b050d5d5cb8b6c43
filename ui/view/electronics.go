package view

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"wornwood/annotate"
	"wornwood/annotate/electronics"
	"wornwood/capture/record"
)

// Electronics is the screen of pickups, controls, wiring and batteries.
type Electronics struct {
	s        *annotate.Session
	Selected string // Component.ID, "" for none

	seen  *record.Record // what found was made from
	found []electronics.Finding
}

// NewElectronics makes the model on a session, with the first component chosen.
func NewElectronics(s *annotate.Session) *Electronics {
	v := &Electronics{s: s}
	if rows := v.components(); len(rows) > 0 {
		v.Selected = rows[0].ID
	}
	return v
}

func electronicsItem(sc *annotate.Scene) RailItem {
	it := RailItem{ElectronicsScreen, "electronics", Complete, ""}
	if p := sc.Record.PartByID(record.Electronics); p != nil && p.State == record.NotFitted && len(sc.Record.Components) == 0 {
		it.Why = "no electronics fitted"
		return it
	}
	if len(sc.Record.Components) == 0 {
		return RailItem{ElectronicsScreen, "electronics", NotStarted, "no component listed yet"}
	}
	if m := electronics.Missing(sc.Record); len(m) > 0 {
		it.Progress, it.Why = SomethingMissing, strings.Join(m, ", ")
	}
	return it
}

// ComponentRow is one line of the list.
type ComponentRow struct {
	ID       string
	Group    string // the kind, on the first line of a kind only
	Name     string
	Line     electronics.Line
	Mark     string // how much the heaviest finding about it weighs, in a word
	Severity electronics.Severity
	Selected bool
}

func (v *Electronics) components() []record.Component {
	return electronics.Sorted(v.s.Scene().Record.Components)
}

// Rows lists the components by kind.
func (v *Electronics) Rows() []ComponentRow {
	var rows []ComponentRow
	last := record.ComponentKind("")
	for _, c := range v.components() {
		r := ComponentRow{ID: c.ID, Name: electronics.Name(c), Line: electronics.LineOf(c), Selected: c.ID == v.Selected}
		if c.Kind != last {
			r.Group, last = Capital(string(c.Kind)), c.Kind
		}
		if about := electronics.AboutComponent(v.Findings(), c.ID); len(about) > 0 {
			r.Severity = about[0].Severity
			r.Mark = SeverityWord(r.Severity)
		}
		rows = append(rows, r)
	}
	return rows
}

// SeverityWord is how a screen and a report call a severity.
func SeverityWord(s electronics.Severity) string {
	return map[electronics.Severity]string{electronics.Wrong: "wrong", electronics.Look: "look again", electronics.Note: "note"}[s]
}

// Findings are what deserves attention, as of the examination's day, made anew
// only when the record has changed.
func (v *Electronics) Findings() []electronics.Finding {
	if rec := v.s.Scene().Record; rec != v.seen {
		v.seen, v.found = rec, electronics.Check(rec, time.Time{})
	}
	return v.found
}

// About are the findings about the chosen component.
func (v *Electronics) About() []electronics.Finding {
	return electronics.AboutComponent(v.Findings(), v.Selected)
}

// Summary says how many components there are, what is missing and how much was
// found.
func (v *Electronics) Summary() string {
	rec := v.s.Scene().Record
	if len(rec.Components) == 0 {
		return "nothing listed yet"
	}
	grave := 0
	for _, f := range v.Findings() {
		if f.Severity != electronics.Note {
			grave++
		}
	}
	s := count(len(rec.Components), "component", "components")
	if grave > 0 {
		s += ", " + count(grave, "finding", "findings") + " to look at"
	}
	if m := electronics.Missing(rec); len(m) > 0 {
		s += "; missing: " + strings.Join(m, ", ")
	}
	return s
}

// Chosen is the chosen component, nil for none. One that went away, by undo or
// on the command line, is chosen no longer.
func (v *Electronics) Chosen() *record.Component {
	if c, ok := v.s.Component(v.Selected); ok {
		return &c
	}
	v.Selected = ""
	return nil
}

// ChosenName is what the chosen component is called.
func (v *Electronics) ChosenName() string {
	if c := v.Chosen(); c != nil {
		return electronics.Name(*c)
	}
	return ""
}

// Step chooses the component so many lines further; ok is false at either end.
func (v *Electronics) Step(by int) (ok bool) {
	list := v.components()
	i := slices.IndexFunc(list, func(c record.Component) bool { return c.ID == v.Selected }) + by
	if i < 0 || i >= len(list) {
		return false
	}
	v.Selected = list[i].ID
	return true
}

// Add lists an empty component of a kind and chooses it.
func (v *Electronics) Add(kind record.ComponentKind) error {
	id, err := v.s.AddComponent(electronics.New(kind))
	if err == nil {
		v.Selected = id
	}
	return err
}

// UsualSet says in words what AddUsual adds.
func (v *Electronics) UsualSet() string {
	name, _ := electronics.UsualSet(v.s.Scene().Record.Instrument.Class)
	return name
}

// AddUsual lists what an instrument of the class usually has, to be filled in,
// and chooses the first.
func (v *Electronics) AddUsual() error {
	_, set := electronics.UsualSet(v.s.Scene().Record.Instrument.Class)
	ids, err := v.s.AddComponents("Add the usual components", set)
	if err == nil && len(ids) > 0 {
		v.Selected = ids[0]
	}
	return err
}

// Remove takes the chosen component away and chooses its neighbour.
func (v *Electronics) Remove() error {
	id := v.Selected
	if id == "" {
		return nil
	}
	if !v.Step(1) {
		v.Step(-1)
	}
	if err := v.s.RemoveComponent(id); err != nil {
		v.Selected = id
		return err
	}
	if v.Selected == id {
		v.Selected = ""
	}
	return nil
}

// Put enters a text into a field of the chosen component. An unchanged one
// makes no entry.
func (v *Electronics) Put(f ComponentField, text string) error {
	c := v.Chosen()
	if c == nil {
		return nil
	}
	old := f.Get(*c)
	if text = strings.TrimSpace(text); text == old || (f.Choices != nil && text == NotJudged && old == "") {
		return nil
	}
	if f.Key == "fitted" && strings.EqualFold(text, "today") {
		text = v.s.Scene().Record.Examination.Date.Format(time.DateOnly)
	}
	if err := f.Put(c, text); err != nil {
		return err
	}
	if f.Get(*c) == old {
		return nil
	}
	return v.s.SetComponent(c.ID, f.Label, func(to *record.Component) { *to = *c })
}

// Proposal is what the chosen component's code says of its nominal value, ""
// where there is nothing to take.
func (v *Electronics) Proposal() string {
	if c := v.Chosen(); c != nil {
		if r, ok := electronics.Proposal(*c); ok {
			return fmt.Sprintf("The code says %s (%s).", r, r.By)
		}
	}
	return ""
}

// TakeProposal enters what the code says as the nominal value.
func (v *Electronics) TakeProposal() error {
	c := v.Chosen()
	if c == nil {
		return nil
	}
	r, ok := electronics.Proposal(*c)
	if !ok {
		return nil
	}
	return v.s.SetComponent(c.ID, "Nominal, from the code,", func(to *record.Component) { electronics.Take(to, r) })
}

// AmbientElsewhere are the other wound pickups that have no temperature while
// the chosen one has.
func (v *Electronics) AmbientElsewhere() []string {
	c := v.Chosen()
	if c == nil || c.Pickup == nil || c.Pickup.Ambient == nil {
		return nil
	}
	var ids []string
	for _, o := range v.components() {
		if o.ID != c.ID && o.Pickup != nil && o.Pickup.Ambient == nil && electronics.Wound(o.Pickup.Type) {
			ids = append(ids, o.ID)
		}
	}
	return ids
}

// TakeAmbient gives the chosen pickup's temperature to the others.
func (v *Electronics) TakeAmbient() error {
	ids := v.AmbientElsewhere()
	if len(ids) == 0 {
		return nil
	}
	t := *v.Chosen().Pickup.Ambient
	return v.s.SetComponents("Room temperature of all pickups", ids, func(c *record.Component) { own := t; c.Pickup.Ambient = &own })
}

// Reckoned says what follows from the chosen component's figures: a resistance
// at 20 °C, the next change of a battery.
func (v *Electronics) Reckoned() string {
	c := v.Chosen()
	if c == nil {
		return ""
	}
	if l := electronics.LineOf(*c); l.At20 != "" {
		return l.At20 + " at 20 °C, by copper's 0.39 % a degree"
	}
	if c.Battery != nil {
		return batteryWords(*c.Battery)
	}
	return ""
}

func batteryWords(b record.Battery) string {
	var out []string
	if due, ok := electronics.BatteryDue(b); ok {
		out = append(out, "next change by "+due.Format(time.DateOnly))
	}
	if h, _, ok := electronics.Hours(b); ok {
		out = append(out, "a fresh one lasts about "+electronics.HoursWords(h))
	}
	return Capital(strings.Join(out, "; "))
}

// Clear says what an empty list of findings means.
func (v *Electronics) Clear() string {
	if len(v.s.Scene().Record.Components) == 0 {
		return "Nothing is listed yet, so there is nothing to compare."
	}
	return "Nothing stands out. As they are entered, values are compared with their nominal ones, with the pickups, with the claimed year and with the calendar."
}

// Cautions are what may hurt somebody here.
func (v *Electronics) Cautions() string {
	return "Old solder holds lead: air the room and wash your hands. Never open a valve amplifier: it can hold a lethal charge after unplugging. " +
		"Take batteries out before storing; do not short, heat or charge what is not made for it. Leave mains-powered circuits to a licensed repairer."
}
