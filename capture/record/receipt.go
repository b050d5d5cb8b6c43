package record

import (
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"
)

// ReceiptSchema names the JSON shape of a Receipt.
const ReceiptSchema = "wornwood.receipt/1"

// Limits of a receipt read from elsewhere.
const (
	MaxReceiptBytes  = 8 << 20
	MaxReceiptWords  = 1000 // characters of one remark: what a row of the printed receipt has room for
	MaxReceiptNew    = 200
	MaxReceiptPhotos = 100
	maxReceiptItems  = 2 * MaxMarks
)

// Answer says how an entry of a report compares with the instrument in hand.
type Answer string

// The answers.
const (
	AsDescribed Answer = "as described"
	Differs     Answer = "differs"
	NotChecked  Answer = "not checked"
)

// ReceiptAnswers lists the answers in the order in which a form offers them.
func ReceiptAnswers() []Answer { return []Answer{AsDescribed, Differs, NotChecked} }

// Subject says what kind of entry of a report an answer is about.
type Subject string

// The subjects of a receipt's answers.
const (
	OfMark  Subject = "mark"
	OfPart  Subject = "part"
	OfExtra Subject = "extra" // what comes with the instrument
)

// Receipt is what somebody found who examined an instrument on receipt against
// its report: an answer for every entry, and what is new.
type Receipt struct {
	Schema  string         `json:"schema"`
	Of      ReceiptOf      `json:"of"`
	By      string         `json:"by"`
	At      time.Time      `json:"at"` // with the buyer's zone
	Place   string         `json:"place,omitempty"`
	Note    string         `json:"note,omitempty"`
	Checked []Checked      `json:"checked"`
	New     []NewMark      `json:"new,omitempty"`
	Photos  []ReceiptPhoto `json:"photos,omitempty"` // of the new marks
}

// ReceiptOf names the report that a receipt is about. SHA256 and Size are of
// the report as it was issued: the bytes up to the end of its examiner's
// signature, which is the whole file unless somebody added to its end since.
type ReceiptOf struct {
	Number     string `json:"number"`
	Title      string `json:"title"` // of the instrument, for who reads the receipt alone
	Serial     string `json:"serial,omitempty"`
	SHA256     string `json:"sha256"`
	Size       int64  `json:"size"`       // bytes
	RecordHash string `json:"recordHash"` // SHA-256 of the record inside it
	Key        string `json:"key"`        // full fingerprint of the key that signed it
}

// Checked is the answer about one entry of the report. ID is a mark's number, a
// part's or an extra's ID.
type Checked struct {
	What   Subject `json:"what"`
	ID     string  `json:"id"`
	Says   string  `json:"says,omitempty"` // what the report says, in short
	Answer Answer  `json:"answer"`
	Note   string  `json:"note,omitempty"` // needed where it differs
}

// NewMark is something that the report does not have. Numbers go on where the
// report's end.
type NewMark struct {
	Number int      `json:"number"`
	Kind   Kind     `json:"kind"`
	Place  string   `json:"place,omitempty"` // in words
	Side   string   `json:"side,omitempty"`  // of the outline, with At
	At     *Point   `json:"at,omitempty"`    // mm on the outline
	Note   string   `json:"note,omitempty"`
	Photos []string `json:"photos,omitempty"` // ReceiptPhoto.ID
}

// ReceiptPhoto names a photo of something new. The receipt's pages carry a
// reduced copy; the file itself stays with the buyer.
type ReceiptPhoto struct {
	ID    string `json:"id"` // SHA-256 of the file
	Name  string `json:"name"`
	Size  int64  `json:"size"`
	Taken string `json:"taken,omitempty"` // as Photo.Taken
}

// Tally counts a receipt's answers.
type Tally struct {
	All, AsDescribed, Differ, NotChecked, New int
}

// Tally counts the answers and what is new.
func (r *Receipt) Tally() Tally {
	t := Tally{All: len(r.Checked), New: len(r.New)}
	for _, c := range r.Checked {
		switch c.Answer {
		case AsDescribed:
			t.AsDescribed++
		case Differs:
			t.Differ++
		default:
			t.NotChecked++
		}
	}
	return t
}

// Clean says that everything was compared, is as described, and nothing is new.
func (t Tally) Clean() bool { return t.AsDescribed == t.All && t.New == 0 }

// Words is the tally in a line: "2 differences, 1 new, 3 not checked"; all as
// described is "all as described".
func (t Tally) Words() string {
	if t.Clean() {
		return "all as described"
	}
	var out []string
	switch {
	case t.Differ == 1:
		out = append(out, "1 difference")
	case t.Differ > 1:
		out = append(out, fmt.Sprintf("%d differences", t.Differ))
	default:
		out = append(out, "no difference")
	}
	if t.New > 0 {
		out = append(out, fmt.Sprintf("%d new", t.New))
	}
	if t.NotChecked > 0 {
		out = append(out, fmt.Sprintf("%d not checked", t.NotChecked))
	}
	return strings.Join(out, ", ")
}

// Check refuses what no receipt can hold. Fits compares it with the report.
func (r *Receipt) Check() error {
	if r.Schema != ReceiptSchema {
		return fmt.Errorf("check receipt: its schema is %.40q, this program reads %q", r.Schema, ReceiptSchema)
	}
	for _, h := range []string{r.Of.SHA256, r.Of.RecordHash, r.Of.Key} {
		if !hexID.MatchString(h) {
			return fmt.Errorf("check receipt: %.70q is no SHA-256; it names the report, its record or its key by another word", h)
		}
	}
	switch {
	case strings.TrimSpace(r.Of.Number) == "" || r.Of.Size < 1:
		return fmt.Errorf("check receipt: it does not name the report that it is about")
	case strings.TrimSpace(r.By) == "":
		return fmt.Errorf("check receipt: it does not say who received the instrument")
	case r.At.IsZero():
		return fmt.Errorf("check receipt: it does not say when")
	case len(r.Checked) > maxReceiptItems || len(r.New) > MaxReceiptNew || len(r.Photos) > MaxReceiptPhotos:
		return fmt.Errorf("check receipt: %d answers, %d new marks and %d photos are more than a receipt can hold", len(r.Checked), len(r.New), len(r.Photos))
	}
	for _, s := range []string{r.Of.Number, r.Of.Title, r.Of.Serial, r.By, r.Place, r.Note} {
		if err := checkWords(s); err != nil {
			return fmt.Errorf("check receipt: %w", err)
		}
	}
	if err := r.checkAnswers(); err != nil {
		return fmt.Errorf("check receipt: %w", err)
	}
	if err := r.checkNew(); err != nil {
		return fmt.Errorf("check receipt: %w", err)
	}
	return nil
}

func (r *Receipt) checkAnswers() error {
	seen := map[[2]string]bool{}
	for _, c := range r.Checked {
		key := [2]string{string(c.What), c.ID}
		switch {
		case !isOneOf(c.What, []Subject{OfMark, OfPart, OfExtra}) || c.ID == "":
			return fmt.Errorf("an answer is about %.40q, which is no mark, part or extra", string(c.What)+" "+c.ID)
		case seen[key]:
			return fmt.Errorf("%s %.40s is answered twice", c.What, c.ID)
		case !isOneOf(c.Answer, ReceiptAnswers()):
			return fmt.Errorf("%s %.40s has the unknown answer %.40q", c.What, c.ID, c.Answer)
		case c.Answer == Differs && strings.TrimSpace(c.Note) == "":
			return fmt.Errorf("%s %.40s differs, but not in words; say how", c.What, c.ID)
		}
		seen[key] = true
		for _, s := range []string{c.ID, c.Says, c.Note} {
			if err := checkWords(s); err != nil {
				return err
			}
		}
	}
	return nil
}

func (r *Receipt) checkNew() error {
	photos := map[string]bool{}
	for _, p := range r.Photos {
		if !hexID.MatchString(p.ID) || photos[p.ID] || p.Size < 0 || checkWords(p.Name) != nil || checkWords(p.Taken) != nil {
			return fmt.Errorf("the photo %.40q is not named by its SHA-256, is listed twice, or has texts that are too long", p.Name)
		}
		photos[p.ID] = true
	}
	seen := map[int]bool{}
	for _, n := range r.New {
		switch {
		case n.Number < 1 || n.Number > 1<<20 || seen[n.Number]:
			return fmt.Errorf("the new mark %d has a number below 1, too high, or used twice", n.Number)
		case strings.TrimSpace(string(n.Kind)) == "":
			return fmt.Errorf("the new mark %d has no kind", n.Number)
		case strings.TrimSpace(n.Place) == "" && n.At == nil:
			return fmt.Errorf("the new mark %d has no place; say where it is in words, or click it on the outline", n.Number)
		case n.At != nil && (n.Side == "" || !ordinary(*n.At)):
			return fmt.Errorf("the new mark %d stands at a place that is none", n.Number)
		case len(n.Photos) > MaxReceiptPhotos:
			return fmt.Errorf("the new mark %d names %d photos, more than a receipt can hold", n.Number, len(n.Photos))
		}
		seen[n.Number] = true
		for _, s := range []string{string(n.Kind), n.Place, n.Side, n.Note} {
			if err := checkWords(s); err != nil {
				return err
			}
		}
		for _, id := range n.Photos {
			if !photos[id] {
				return fmt.Errorf("the new mark %d names a photo %.16q that the receipt does not list", n.Number, id)
			}
		}
	}
	return nil
}

func checkWords(s string) error {
	if n := utf8.RuneCountInString(s); n > MaxReceiptWords {
		return fmt.Errorf("the text %.40q… has %d characters, %d are allowed", s, n, MaxReceiptWords)
	}
	if strings.ContainsFunc(s, func(c rune) bool { return c == utf8.RuneError || c < ' ' && c != '\n' && c != '\t' }) {
		return fmt.Errorf("the text %.40q holds control characters, or is not UTF-8", s)
	}
	return nil
}

// ToCheck lists what a buyer goes through of a record, in its order: every
// mark, every part that is fitted, everything that comes with it. Nothing is
// checked yet.
func (r *Record) ToCheck() []Checked {
	out := []Checked{}
	for _, m := range r.Marks {
		out = append(out, Checked{What: OfMark, ID: strconv.Itoa(m.Number), Answer: NotChecked})
	}
	for _, p := range r.Parts {
		if p.State != NotFitted {
			out = append(out, Checked{What: OfPart, ID: string(p.ID), Answer: NotChecked})
		}
	}
	for _, e := range r.Extras {
		out = append(out, Checked{What: OfExtra, ID: e.ID, Answer: NotChecked})
	}
	return out
}

// Fits says whether the receipt answers for every entry of a record once, in
// its order, and numbers what is new behind its marks: leaving a mark out of a
// receipt must not look like having found it as described.
func (r *Receipt) Fits(rec *Record) error {
	want := rec.ToCheck()
	if len(want) != len(r.Checked) {
		return fmt.Errorf("compare receipt: it answers for %d entries, the report has %d", len(r.Checked), len(want))
	}
	for i, w := range want {
		if c := r.Checked[i]; c.What != w.What || c.ID != w.ID {
			return fmt.Errorf("compare receipt: it answers for the %s %.40s where the report has the %s %.40s", c.What, c.ID, w.What, w.ID)
		}
	}
	for _, n := range r.New {
		if rec.MarkByNumber(n.Number) != nil {
			return fmt.Errorf("compare receipt: its new mark %d has the number of one of the report", n.Number)
		}
	}
	return nil
}
