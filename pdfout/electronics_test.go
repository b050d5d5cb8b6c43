package pdfout

import (
	"fmt"
	"strings"
	"testing"

	"wornwood/capture/record"
	"wornwood/pdfout/pdfxtest"
	"wornwood/pdfout/reporttest"
)

func q(v, u float64) *record.Quantity { return &record.Quantity{Value: v, Uncertainty: u} }

// wired is the demo with electronics that have something of every finding.
func wired(photos int) *record.Record {
	r := reporttest.Demo(photos)
	r.Components = []record.Component{
		{ID: "pickup-1", Kind: record.PickupComponent, Place: "neck", Works: "works", State: record.Original,
			Pickup: &record.Pickup{Type: record.SingleCoil, Resistance: q(7.42, 0.02), Ambient: q(25, 1), Inductance: q(2.5, 0.1)}},
		{ID: "pickup-2", Kind: record.PickupComponent, Place: "bridge", State: record.LaterReplacement, Pickup: &record.Pickup{Type: record.SingleCoil, Resistance: q(6.1, 0), Ambient: q(25, 1)}},
		{ID: "pot-1", Kind: record.PotComponent, Place: "volume", Code: "137 7410", Pot: &record.Potentiometer{Role: "volume", Nominal: 250, Measured: q(243, 0), Taper: "logarithmic"}, State: record.Original},
		{ID: "pot-2", Kind: record.PotComponent, Place: "tone", Code: "137 8210", Works: "scratchy", Pot: &record.Potentiometer{Role: "tone", Nominal: 250, Measured: q(312, 0)}},
		{ID: "cap-1", Kind: record.CapacitorComponent, Place: "tone", Code: "223K", Capacitor: &record.Capacitor{Role: "tone", Nominal: 22, Measured: q(22.4, 0), Make: "film"}},
		{ID: "switch-1", Kind: record.SwitchComponent, Place: "pickup", Works: "at times", Note: "the middle position drops out until it is moved"},
		{ID: "jack-1", Kind: record.JackComponent, Place: "output", Works: "works"},
		{ID: "battery-1", Kind: record.BatteryComponent, Place: "cavity", Battery: &record.Battery{Type: "9 V block", Voltage: q(7.4, 0), Fitted: "2025-10-31", Every: 12, Current: q(0.35, 0)}},
	}
	r.Wiring = &record.Wiring{Seen: "seen", State: record.Original, Solder: "dull and undisturbed"}
	if photos > 0 {
		r.Components[0].Photos = []string{r.Photos[0].ID}
		r.Wiring.Files = []string{r.Photos[0].ID, r.Photos[min(1, photos-1)].ID}
	}
	return r
}

// The report says what was measured, what it is at 20 °C, what deserves a look
// and why, as pdftotext (poppler) reads it.
func TestElectronicsInTheReport(t *testing.T) {
	text := pdfxtest.Output(t, "pdftotext", build(t, wired(3), nil), "-")
	squeezed := strings.Join(strings.Fields(text), " ")
	for _, want := range []string{"Electronics", "7.42 ± 0.02 kΩ", "7.28 ± 0.03", "137 7410", "223K", "25 % above its nominal 250 kΩ", "made in 1982 or after", "7.4 V, under 7.5 V",
		"was due on 2026-10-31", "Solder: dull and undisturbed", "Shown on photos 1, 2", "1 + 0.00393", "not a verdict", "peak +", "2.50 ± 0.10 H", "Next change"} {
		if !strings.Contains(strings.ToLower(squeezed), strings.ToLower(want)) {
			t.Errorf("the report does not say %q", want)
		}
	}
	if t.Failed() {
		t.Log(text)
	}
	if bare := pdfxtest.Output(t, "pdftotext", build(t, reporttest.Demo(0), nil), "-"); strings.Contains(bare, "deserves a look") || strings.Contains(bare, "Type or nominal") {
		t.Error("a report without components has a section of electronics")
	}
}

// Whatever is listed, nothing stands outside the margins or over anything else.
func TestElectronicsLayouts(t *testing.T) {
	long := wired(2)
	word := strings.Repeat("Larkfootstandardextraordinary", 3)
	for i := range long.Components {
		long.Components[i].Place = "the place " + word
		long.Components[i].Code = word
		long.Components[i].Note = strings.Repeat("a note that goes on ", 30)
	}
	long.Wiring.Note = strings.Repeat("A sentence about the wiring. ", 80)
	many := wired(0)
	for i := range record.MaxComponents - len(many.Components) {
		c := many.Components[i%4]
		c.ID = fmt.Sprintf("x-%d", i)
		many.Components = append(many.Components, c)
	}
	only := reporttest.Demo(0)
	only.Wiring = &record.Wiring{Seen: "not opened"}
	for name, rec := range map[string]*record.Record{"wired": wired(4), "long": long, "many": many, "wiring alone": only} {
		for _, paper := range []string{"A4", "Letter"} {
			t.Run(strings.ReplaceAll(name, " ", "-")+" "+paper, func(t *testing.T) {
				for i, p := range readWords(t, build(t, rec, func(in *Input) { in.Paper = paper })) {
					checkSheet(t, i+1, p)
				}
			})
		}
	}
}
