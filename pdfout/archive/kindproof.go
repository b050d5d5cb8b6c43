package archive

import (
	"encoding/json"
	"time"

	"wornwood/pdfout"
)

// The kinds of lines that prove, keep and let go.
const (
	Stamped  EventKind = "stamped"   // an authority vouches for the time of the log's head
	Ruled    EventKind = "retention" // a rule on how long reports are kept, or its end
	Held     EventKind = "held"      // these reports are not to be removed, whatever a rule says
	Released EventKind = "released"  // a hold has ended
)

// HeadSchema names the form of a TreeHead.
const HeadSchema = "wornwood.archive.head/1"

// TreeHead is a head of the log together with the root of the hash tree (RFC
// 9162, 2.1) over its lines: what is signed and time-stamped.
type TreeHead struct {
	Schema  string    `json:"schema"`
	Archive string    `json:"archive"` // SHA-256 of archive.json
	Size    int64     `json:"size"`    // lines
	Hash    string    `json:"hash"`    // of the last line, as Head has it
	Root    string    `json:"root"`    // of the tree over these lines
	Time    time.Time `json:"time"`    // of the last line; of the archive's making where there is none
}

// Head is the place in the log.
func (h TreeHead) Head() Head { return Head{h.Size, h.Hash} }

// Bytes is the head as it is signed: canonical JSON (RFC 8785).
func (h TreeHead) Bytes() ([]byte, error) { return pdfout.Canonical(h) }

// stampedBody is the body of a line Stamped. The token (RFC 3161) is over the
// head's canonical form; so is the signature, where somebody signed it.
type stampedBody struct {
	Head      TreeHead `json:"head"`
	Token     []byte   `json:"token"`
	Signature []byte   `json:"signature,omitempty"`
	URL       string   `json:"url"`
}

// TombstoneSchema names the form of a Tombstone.
const TombstoneSchema = "wornwood.archive.tombstone/1"

// Tombstone is what is left of a removed report, and what is signed.
type Tombstone struct {
	Schema  string    `json:"schema"`
	Archive string    `json:"archive"` // SHA-256 of archive.json
	Report  string    `json:"report"`  // SHA-256 of the file that was removed
	Area    Area      `json:"area"`    // files or refused
	Line    int64     `json:"line"`    // of its filing
	Filed   time.Time `json:"filed"`
	First   string    `json:"first,omitempty"` // as in the line of its filing
	Removed time.Time `json:"removed"`
	Rule    string    `json:"rule"` // under which it was removed, or which law or order asks for it
	Reason  string    `json:"reason"`
	By      string    `json:"by"`
}

// removedBody is the body of a line Removed: the signatures are CMS (RFC 5652),
// detached, over the tombstone's canonical form.
type removedBody struct {
	Tombstone  Tombstone `json:"tombstone"`
	Signatures [][]byte  `json:"signatures"`
}

// heldBody is the body of lines Held and Released; no report means all.
type heldBody struct {
	Reports []Member `json:"reports,omitempty"`
	Why     string   `json:"why"`
}

// checkedBody is the body of a line Checked: which lines' files were read byte by
// byte, as pairs of first and last line.
type checkedBody struct {
	Read    [][2]int64 `json:"read,omitempty"`
	Quarter bool       `json:"quarter,omitempty"` // a share of those unread longest
}

// bodyOf reads the body of a line into its kind's form; a body that cannot be
// read is an empty one, which nothing follows from.
func bodyOf[B any](e Entry) (b B) {
	if json.Unmarshal(e.Body, &b) != nil {
		var none B
		return none
	}
	return b
}
