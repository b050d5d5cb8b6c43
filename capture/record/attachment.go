package record

import (
	"fmt"
	"regexp"
)

// Attachment is a document, a sound or a film kept with the examination as
// photos are: byte for byte, under the SHA-256 of the file.
type Attachment struct {
	ID       string `json:"id"`              // SHA-256, 64 lower-case hex digits
	Name     string `json:"name"`            // file name when it was attached, without folders
	Kind     string `json:"kind"`            // one of AttachmentKinds
	Type     string `json:"type"`            // media type, "application/pdf"
	Size     int64  `json:"size"`            // bytes
	Imported string `json:"imported"`        // RFC 3339, this machine's clock
	About    string `json:"about,omitempty"` // what it shows, in words
	Date     string `json:"date,omitempty"`  // date of a paper, as written on it
}

// AttachmentKinds are what an attachment is, in the order of a form.
func AttachmentKinds() []string { return []string{"document", "drawing", "sound", "film"} }

// Extra is one thing that comes with the instrument.
type Extra struct {
	ID     string   `json:"id"`
	Kind   string   `json:"kind,omitempty"` // one of ExtraKinds
	What   string   `json:"what"`
	State  State    `json:"state,omitempty"` // original, later replacement ...; "" for not judged
	Files  []string `json:"files,omitempty"` // Photo.ID or Attachment.ID
	Note   string   `json:"note,omitempty"`
	Number int      `json:"number,omitempty"` // how many; 0 reads as 1
}

// ExtraKinds are what comes with an instrument, in the order of a form.
func ExtraKinds() []string {
	return []string{"case", "papers", "tools", "strap and tags", "removed parts", "other"}
}

// Material is a material of legal weight on the instrument. Without a Document
// it only appears to be what it is called.
type Material struct {
	ID       string   `json:"id"`
	Name     string   `json:"name"`               // as the list of materials names it
	On       string   `json:"on,omitempty"`       // which part: "fingerboard", "inlays"
	How      string   `json:"how,omitempty"`      // how it was judged: seen, document
	Document []string `json:"document,omitempty"` // Attachment.ID of papers that name it
	Note     string   `json:"note,omitempty"`
}

// Sign is the answer to one sign of a refinish or replacement.
type Sign struct {
	ID     string `json:"id"`     // of the list for the part
	Answer string `json:"answer"` // one of SignAnswers
}

// SignAnswers are the answers to a sign, in the order of a form.
func SignAnswers() []string { return []string{"seen", "not seen", "not opened"} }

// MaxEntries bounds the lists of attachments, extras and materials.
const MaxEntries = 1000

var hexID = regexp.MustCompile(`^[0-9a-f]{64}$`)

func (a *Attachment) check() error {
	if !hexID.MatchString(a.ID) {
		return fmt.Errorf("attachment %q is not named by its SHA-256", a.Name)
	}
	if !isOneOf(a.Kind, AttachmentKinds()) {
		return fmt.Errorf("attachment %q has the unknown kind %q", a.Name, a.Kind)
	}
	if a.Size < 0 {
		return fmt.Errorf("attachment %q has a size below 0", a.Name)
	}
	return nil
}

func (e *Extra) check() error {
	if e.ID == "" || !e.State.known() || e.Number < 0 {
		return fmt.Errorf("what comes with the instrument: %q has no identity, an unknown state or a number below 0", e.What)
	}
	return nil
}

func (m *Material) check() error {
	if m.ID == "" || m.Name == "" {
		return fmt.Errorf("a material has no identity or no name")
	}
	return nil
}

func isOneOf[T comparable](v T, list []T) bool {
	for _, k := range list {
		if k == v {
			return true
		}
	}
	return false
}
