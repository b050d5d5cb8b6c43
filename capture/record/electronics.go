package record

import "fmt"

// ComponentKind says what a component of the electronics is.
type ComponentKind string

// The kinds of component.
const (
	PickupComponent    ComponentKind = "pickup"
	PotComponent       ComponentKind = "potentiometer"
	CapacitorComponent ComponentKind = "capacitor"
	ResistorComponent  ComponentKind = "resistor"
	SwitchComponent    ComponentKind = "switch"
	JackComponent      ComponentKind = "jack"
	PreampComponent    ComponentKind = "preamplifier"
	BatteryComponent   ComponentKind = "battery"
	SpeakerComponent   ComponentKind = "speaker" // of an instrument or case with one built in
	OtherComponent     ComponentKind = "other"
)

// ComponentKinds lists the kinds in the order in which a form offers them.
func ComponentKinds() []ComponentKind {
	return []ComponentKind{PickupComponent, PotComponent, CapacitorComponent, ResistorComponent, SwitchComponent, JackComponent,
		PreampComponent, BatteryComponent, SpeakerComponent, OtherComponent}
}

// Component is one component of the electronics. Of the pointers only the one
// that Kind names is set; a switch, a jack or a preamplifier has none.
type Component struct {
	ID    string        `json:"id"` // unique among the components
	Kind  ComponentKind `json:"kind"`
	Place string        `json:"place,omitempty"` // "neck", "bridge", "volume", "tone 1", "cavity" ...
	Works string        `json:"works,omitempty"` // one of WorksWords; "" for not tried
	State State         `json:"state,omitempty"` // original, replaced ...; "" for not judged
	Code  string        `json:"code,omitempty"`  // letters and figures on it, as read
	Note  string        `json:"note,omitempty"`

	Photos []string `json:"photos,omitempty"` // Photo.ID

	Pickup    *Pickup        `json:"pickup,omitempty"`
	Pot       *Potentiometer `json:"pot,omitempty"`
	Capacitor *Capacitor     `json:"capacitor,omitempty"`
	Resistor  *Resistor      `json:"resistor,omitempty"`
	Battery   *Battery       `json:"battery,omitempty"`
}

// WorksWords are the answers to whether a component works, in the order of a
// form.
func WorksWords() []string { return []string{"works", "scratchy", "at times", "dead", "not tried"} }

// PickupType says how a pickup makes its signal.
type PickupType string

// The types of pickup.
const (
	SingleCoil PickupType = "passive single-coil"
	DoubleCoil PickupType = "passive double-coil"
	Active     PickupType = "active"
	Piezo      PickupType = "piezo"
	Microphone PickupType = "microphone"
)

// PickupTypes lists the types in the order in which a form offers them.
func PickupTypes() []PickupType {
	return []PickupType{SingleCoil, DoubleCoil, Active, Piezo, Microphone}
}

// Pickup is a pickup and what was measured on it.
type Pickup struct {
	Type        PickupType `json:"type,omitempty"`
	Resistance  *Quantity  `json:"resistance,omitempty"`  // DC, kilohms, as read
	Ambient     *Quantity  `json:"ambient,omitempty"`     // temperature when it was read, degrees Celsius
	Inductance  *Quantity  `json:"inductance,omitempty"`  // henries
	Capacitance *Quantity  `json:"capacitance,omitempty"` // of the winding, picofarads
}

// Potentiometer is a variable resistor.
type Potentiometer struct {
	Role     string    `json:"role,omitempty"`     // one of PotRoles
	Nominal  float64   `json:"nominal,omitempty"`  // kilohms; 0 for not known
	Measured *Quantity `json:"measured,omitempty"` // kilohms, end to end
	Taper    string    `json:"taper,omitempty"`    // one of Tapers
}

// PotRoles are what a potentiometer does, in the order of a form.
func PotRoles() []string { return []string{"volume", "tone", "blend", "other"} }

// Tapers are how a potentiometer's resistance follows its turning.
func Tapers() []string { return []string{"logarithmic", "linear", "reverse logarithmic"} }

// Capacitor is a capacitor of the tone circuit.
type Capacitor struct {
	Role     string    `json:"role,omitempty"`     // one of CapacitorRoles
	Nominal  float64   `json:"nominal,omitempty"`  // nanofarads; 0 for not known
	Measured *Quantity `json:"measured,omitempty"` // nanofarads
	Make     string    `json:"make,omitempty"`     // film, ceramic, paper in oil ...
}

// CapacitorRoles are what a capacitor does, in the order of a form.
func CapacitorRoles() []string { return []string{"tone", "treble bleed", "coupling", "other"} }

// Resistor is a fixed resistor.
type Resistor struct {
	Nominal  float64   `json:"nominal,omitempty"` // kilohms; 0 for not known
	Measured *Quantity `json:"measured,omitempty"`
}

// Battery is a battery and when it wants changing.
type Battery struct {
	Type     string    `json:"type,omitempty"`     // "9 V block", "AA", "coin cell" ...
	Number   int       `json:"number,omitempty"`   // of cells or blocks; 0 reads as 1
	Voltage  *Quantity `json:"voltage,omitempty"`  // volts, each
	Fitted   string    `json:"fitted,omitempty"`   // date, 2006-01-02
	Every    int       `json:"every,omitempty"`    // months between changes; 0 for no rule
	Expires  string    `json:"expires,omitempty"`  // date printed on it, 2006-01 or 2006-01-02
	Capacity float64   `json:"capacity,omitempty"` // mAh; 0 takes the type's usual
	Current  *Quantity `json:"current,omitempty"`  // mA drawn
}

// Wiring is what was seen of the wiring as a whole.
type Wiring struct {
	Seen   string   `json:"seen,omitempty"`  // one of SignAnswers; "" for not said
	State  State    `json:"state,omitempty"` // "" for not judged
	Solder string   `json:"solder,omitempty"`
	Files  []string `json:"files,omitempty"` // Photo.ID or Attachment.ID of photos and drawings
	Note   string   `json:"note,omitempty"`

	// What the electronics look into, for the response curve.
	CableCapacitance float64 `json:"cableCapacitance,omitempty"` // picofarads; 0 takes a usual cable's
	Load             float64 `json:"load,omitempty"`             // kilohms; 0 takes a usual amplifier's
}

// MaxComponents bounds the electronics of one instrument.
const MaxComponents = 200

func (c *Component) check() error {
	if c.ID == "" {
		return fmt.Errorf("a component of the electronics has no identity")
	}
	if !isOneOf(c.Kind, ComponentKinds()) {
		return fmt.Errorf("component %q has the unknown kind %q", c.ID, c.Kind)
	}
	if !c.State.known() {
		return fmt.Errorf("component %q has the unknown state %q", c.ID, c.State)
	}
	if c.Works != "" && !isOneOf(c.Works, WorksWords()) {
		return fmt.Errorf("component %q: works is %q, which is none of the answers", c.ID, c.Works)
	}
	for _, q := range c.quantities() {
		if err := q.checkAny(); err != nil {
			return fmt.Errorf("component %q: %w", c.ID, err)
		}
	}
	if c.Pickup != nil && c.Pickup.Type != "" && !isOneOf(c.Pickup.Type, PickupTypes()) {
		return fmt.Errorf("component %q: unknown type of pickup %q", c.ID, c.Pickup.Type)
	}
	for _, v := range c.figures() {
		if !finite(v) || v < 0 || v > 1e9 {
			return fmt.Errorf("component %q: a value is not a number of 0 or more", c.ID)
		}
	}
	return nil
}

func (c *Component) quantities() []*Quantity {
	var out []*Quantity
	if p := c.Pickup; p != nil {
		out = append(out, p.Resistance, p.Ambient, p.Inductance, p.Capacitance)
	}
	if p := c.Pot; p != nil {
		out = append(out, p.Measured)
	}
	if p := c.Capacitor; p != nil {
		out = append(out, p.Measured)
	}
	if p := c.Resistor; p != nil {
		out = append(out, p.Measured)
	}
	if p := c.Battery; p != nil {
		out = append(out, p.Voltage, p.Current)
	}
	return out
}

func (c *Component) figures() []float64 {
	var out []float64
	if p := c.Pot; p != nil {
		out = append(out, p.Nominal)
	}
	if p := c.Capacitor; p != nil {
		out = append(out, p.Nominal)
	}
	if p := c.Resistor; p != nil {
		out = append(out, p.Nominal)
	}
	if p := c.Battery; p != nil {
		out = append(out, p.Capacity, float64(p.Every), float64(p.Number))
	}
	return out
}

// checkAny refuses what is no number; nil is no value and passes.
func (q *Quantity) checkAny() error {
	if q != nil && (!finite(q.Value) || !finite(q.Uncertainty) || q.Uncertainty < 0) {
		return fmt.Errorf("a value is not a number")
	}
	return nil
}
