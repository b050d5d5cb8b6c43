package sign

import (
	"sort"

	"wornwood/pdfout/pdf"
)

// activeKeys lead to scripts, layers and forms that change what a reader
// shows without changing a byte; a report has none of them.
var activeKeys = map[pdf.Name]string{
	"JS": "a script", "JavaScript": "a script", "AA": "actions that run by themselves", "XFA": "a form of another kind",
	"OCProperties": "layers that can be switched", "OC": "layers that can be switched",
}

// activeActions are values of S or Subtype that do more than lead to a place.
var activeActions = map[pdf.Name]string{
	"JavaScript": "a script", "Launch": "an action that starts programs", "SubmitForm": "an action that sends data",
	"ImportData": "an action that fetches data", "GoToR": "a link into another file", "GoToE": "a link into another file",
	"Rendition": "film or sound", "Movie": "film or sound", "Sound": "film or sound", "Screen": "film or sound",
	"RichMedia": "film or sound", "3D": "a model in space", "SetOCGState": "layers that can be switched", "Hide": "an action that hides things",
	"ResetForm": "an action that empties fields",
}

// checkActive looks through all objects of the last state.
func (v *verifier) checkActive() error {
	last := v.file.Last()
	found := map[string]bool{}
	seen := map[int]bool{}
	for i := len(v.file.Revisions) - 1; i >= 0; i-- {
		for _, num := range v.file.Revisions[i].Numbers() {
			if seen[num] {
				continue
			}
			seen[num] = true
			if len(seen)%256 == 0 {
				if err := v.ctx.Err(); err != nil {
					return err
				}
			}
			e, _, _ := last.Lookup(num)
			if e.Free {
				continue
			}
			o, err := last.Get(pdf.Ref{Num: num, Gen: e.Gen})
			if err != nil {
				return err
			}
			lookActive(o, found)
		}
	}
	_, cat, err := last.Catalog()
	if err != nil {
		return err
	}
	if _, isPlace := cat["OpenAction"].(pdf.Array); cat["OpenAction"] != nil && !isPlace {
		found["an action on opening"] = true
	}
	var what []string
	for w := range found {
		what = append(what, w)
	}
	sort.Strings(what)
	for _, w := range what {
		v.report.add(ActiveContent, Alarm, "", "The PDF contains %s, so that what it shows can change without a change of its bytes. A report issued by this program never does.", w)
	}
	return nil
}

func lookActive(o pdf.Object, found map[string]bool) {
	switch d := o.(type) {
	case pdf.Array:
		for _, e := range d {
			lookActive(e, found)
		}
	case *pdf.Stream:
		lookActive(d.Dict, found)
	case pdf.Dict:
		for k, e := range d {
			if w, ok := activeKeys[k]; ok && e != nil {
				found[w] = true
			}
			if n, ok := e.(pdf.Name); ok && (k == "S" || k == "Subtype") {
				if w, ok := activeActions[n]; ok {
					found[w] = true
				}
			}
			lookActive(e, found)
		}
	}
}
