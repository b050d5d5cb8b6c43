package demo

import (
	_ "embed"
	"fmt"
	"math"
	"time"

	"wornwood/annotate"
	"wornwood/capture/bench"
	"wornwood/capture/record"
)

// receipt is the paper that came with the instrument, as invented as it is.
//
//go:embed receipt.txt
var receipt []byte

// tell records what is said of the instrument, and the paper that supports some
// of it.
func tell(b *bench.Bench, s *annotate.Session) error {
	a, err := b.StoreAttachmentBytes(receipt, "receipt-1975.txt", "document")
	if err != nil {
		return err
	}
	paper := a.Attachment
	paper.About, paper.Date = "Receipt of the first sale, names model and serial number", "14 May 1975"
	if _, err := s.AddAttachments(paper); err != nil {
		return err
	}
	for _, c := range []record.Claim{
		{ID: "edition", About: "edition size", Text: "One of 60", By: "seller", Support: "no document seen", Standing: record.Unsupported},
		{ID: "year", About: "year", Text: "1974", By: "seller", Support: "serial number, codes and fittings agree", Standing: record.Seen},
		{ID: "provenance", About: "provenance", Text: "Sold new in May 1975 with its case", By: "seller", Support: "receipt with the serial number",
			Standing: record.Documented, Files: []string{paper.ID}},
		{ID: "repairs", About: "repairs", Text: "Tuners changed in the 1990s, nothing else", By: "seller", Support: "older screw holes seen; the decade is the seller's word", Standing: record.Stated},
	} {
		if err := s.SetClaim(c); err != nil {
			return err
		}
	}
	if _, err := s.AddMaterial(record.Material{Name: "Rosewood", On: "fingerboard", How: "seen", Note: "By colour and pores, under a lens."}); err != nil {
		return err
	}
	for _, e := range []record.Extra{
		{Kind: "case", What: "Fitted case, brown", State: record.Original, Note: "One latch bent, closes."},
		{Kind: "tools", What: "Key of the case", State: record.Original, Note: "The receipt names two."},
		{Kind: "papers", What: "Receipt of the first sale", State: record.Original, Files: []string{paper.ID}},
	} {
		if _, err := s.AddExtra(e); err != nil {
			return err
		}
	}
	return date(s, paper.ID)
}

// date records what the instrument's date can be told from, beside the codes of
// the electronics.
func date(s *annotate.Session, paper string) error {
	for _, e := range []record.Evidence{
		{Kind: record.FeatureEvidence, What: "three-ply guard", Bound: record.InOrAfter, From: 1972, Source: "the shop's notes on this maker"},
		{Kind: record.DocumentEvidence, What: "receipt of the first sale", Bound: record.InOrBefore, To: 1975, Source: "dated 14 May 1975", Files: []string{paper}},
	} {
		if _, err := s.AddEvidence(e); err != nil {
			return err
		}
	}
	return nil
}

// openElectronics lists the components as they were read with the guard up. The
// source number of the codes is of nobody.
func openElectronics(s *annotate.Session) error {
	kilohms := func(v float64) *record.Quantity {
		return &record.Quantity{Value: v, Uncertainty: math.Round(v) / 100, How: "meter"}
	}
	room := &record.Quantity{Value: 21, Uncertainty: 1, How: "thermometer"}
	pickup := func(place string, r float64) record.Component {
		return record.Component{Kind: record.PickupComponent, Place: place, Works: "works", State: record.Original,
			Pickup: &record.Pickup{Type: record.SingleCoil, Resistance: &record.Quantity{Value: r, Uncertainty: 0.02, How: "meter"}, Ambient: room}}
	}
	pot := func(role, works, code string, r float64) record.Component {
		return record.Component{Kind: record.PotComponent, Place: role, Works: works, State: record.Original, Code: code,
			Pot: &record.Potentiometer{Role: role, Nominal: 250, Measured: kilohms(r), Taper: "logarithmic"}}
	}
	volume := pot("volume", "scratchy", "888-7406", 241)
	volume.Note = "Crackles in the last third."
	_, err := s.AddComponents("Add the electronics", []record.Component{
		pickup("neck", 6.92), pickup("bridge", 7.36), volume, pot("tone", "works", "888-7411", 262),
		{Kind: record.CapacitorComponent, Place: "tone", State: record.Original, Code: "473K",
			Capacitor: &record.Capacitor{Role: "tone", Nominal: 47, Measured: &record.Quantity{Value: 45.8, Uncertainty: 0.5, How: "meter"}, Make: "polyester film"}},
		{Kind: record.SwitchComponent, Place: "pickup", Works: "works", State: record.Original, Note: "Three positions."},
		{Kind: record.JackComponent, Place: "output", Works: "works", State: record.Original},
	})
	if err != nil {
		return err
	}
	return s.SetWiring("Findings", func(w *record.Wiring) {
		w.Seen, w.State, w.Solder = "seen", record.Original, "dull and even, dust undisturbed"
		w.Note = "Cloth-covered wire throughout, guard lifted with the strings slack."
	})
}

// setUp records string heights, relief, crowns, tuners and intonation.
func setUp(s *annotate.Session) error {
	for _, r := range []struct {
		id  string
		mm  float64
		how string
	}{
		{"string height, bass, fret 12", 1.9, "string height gauge"}, {"string height, treble, fret 12", 1.6, "string height gauge"},
		{"string height, bass, fret 1", 0.55, "feeler gauge"}, {"string height, treble, fret 1", 0.45, "feeler gauge"},
		{"nut gap, bass, fret 1", 0.1, "feeler gauge"}, {"nut gap, treble, fret 1", 0.1, "feeler gauge"},
		{"relief", 0.2, "feeler gauge"},
		{"fret crown, fret 1", 0.94, "calliper"}, {"fret crown, fret 5", 0.98, "calliper"}, {"fret crown, fret 7", 1.04, "calliper"},
		{"fret crown, fret 12", 1.08, "calliper"}, {"fret crown, fret 22", 1.12, "calliper"},
	} {
		u := 0.05
		if r.how != "string height gauge" {
			u = 0.02
		}
		if err := s.SetReading(record.Reading{ID: r.id, Value: record.Quantity{Value: r.mm, Uncertainty: u, How: r.how}, Unit: "mm"}); err != nil {
			return err
		}
	}
	if err := s.SetReading(record.Reading{ID: "relief, largest at fret", Value: record.Quantity{Value: 8}, Unit: "fret"}); err != nil {
		return err
	}
	err := s.SetSetup("setup", func(p *record.Setup) {
		p.TrussRod, p.Capo, p.Nut, p.StringSet = "works", "capo at fret 1, last fret held", "slots right", "010 to 046, nickel-plated"
		for n := 1; n <= 6; n++ {
			p.Tuners = append(p.Tuners, record.Tuner{String: n, Feel: "smooth"})
		}
		p.Tuners[4].Feel = "stiff"
	})
	if err != nil {
		return err
	}
	return intonate(s)
}

// intonate records one set of open and stopped notes; no recording of them is
// kept.
func intonate(s *annotate.Session) error {
	var h annotate.Heard
	for i, n := range []struct{ hz, offOpen, offStopped float64 }{
		{329.628, 0.4, 1.6}, {246.942, -0.8, 1.5}, {195.998, 0.2, 5.9}, {146.832, 0.6, 0.9}, {110, -0.3, 1.1}, {82.407, 0.5, 4.2},
	} {
		note := func(hz, cents float64) *record.Quantity {
			v := hz * math.Exp2(cents/1200)
			return &record.Quantity{Value: math.Round(v*1000) / 1000, Uncertainty: 0.02, How: "tuner"}
		}
		h.Intonations = append(h.Intonations, record.Intonation{String: i + 1, Fret: 12, Open: note(n.hz, n.offOpen), Stopped: note(2*n.hz, n.offStopped)})
	}
	return s.KeepHeard(h)
}

// comeBack sets the day of the next look, a year after this one.
func comeBack(s *annotate.Session) error {
	return s.SetExamination("Next examination", func(e *record.Examination) { e.NextDue = e.Date.AddDate(1, 0, 0).Format(time.DateOnly) })
}

// answerSigns records which signs of a later hand were looked for.
func answerSigns(s *annotate.Session) error {
	for _, a := range []struct {
		part         record.PartID
		sign, answer string
	}{
		{record.FrontFinish, "finish-screw-runs", "not seen"}, {record.FrontFinish, "finish-ghosts", "not seen"},
		{record.FrontFinish, "finish-overspray", "not opened"}, {record.FrontFinish, "finish-agrees", "seen"},
		{record.Headstock, "head-agrees", "seen"}, {record.Frets, "frets-chips", "not seen"}, {record.Frets, "frets-agrees", "seen"},
		{record.Nut, "nut-tool-marks", "seen"}, {record.Nut, "nut-material", "seen"},
		{record.Tuners, "tuners-holes", "seen"}, {record.Tuners, "tuners-shadow", "seen"}, {record.Tuners, "tuners-agrees", "not seen"},
		{record.Electronics, "solder-unlike", "not seen"}, {record.Electronics, "elec-codes", "not seen"}, {record.Electronics, "wire-plastic", "not seen"},
		{record.Electronics, "elec-agrees", "seen"},
	} {
		if err := s.SetSign(a.part, a.sign, a.answer); err != nil {
			return fmt.Errorf("%s: %w", a.sign, err)
		}
	}
	return nil
}
