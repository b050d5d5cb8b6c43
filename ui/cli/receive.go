package cli

import (
	"context"
	"flag"
	"fmt"
	"strconv"
	"strings"

	"wornwood/capture/record"
	"wornwood/pdfout"
	"wornwood/pdfout/receive"
	"wornwood/pdfout/sign"
)

var receiveVerb = &verb{name: "receive", args: "REPORT.pdf [--mark N=ANSWER[:WORDS]] [--rest as-described] [--new KIND@PLACE[:NOTE]] [--countersign OUT.pdf|--receipt OUT.pdf]",
	short: "compare an instrument that arrived with its report; countersign it, or issue a receipt of what differs", run: runReceive}

// entryAnswers is a flag given once for every entry: ID=ANSWER or ID=ANSWER:WORDS.
type entryAnswers struct {
	what record.Subject
	to   *[]record.Checked
}

func (a entryAnswers) String() string { return "" }

func (a entryAnswers) Set(s string) error {
	id, rest, ok := strings.Cut(s, "=")
	word, note, _ := strings.Cut(rest, ":")
	answer, err := parseAnswer(word)
	if !ok || id == "" || err != nil {
		return fmt.Errorf("%q is no answer; write NUMBER=as-described, NUMBER=not-checked or NUMBER=differs:WORDS", s)
	}
	*a.to = append(*a.to, record.Checked{What: a.what, ID: id, Answer: answer, Note: note})
	return nil
}

// parseAnswer reads an answer with hyphens or spaces.
func parseAnswer(s string) (record.Answer, error) {
	want := record.Answer(strings.ReplaceAll(strings.TrimSpace(s), "-", " "))
	for _, a := range record.ReceiptAnswers() {
		if a == want {
			return a, nil
		}
	}
	return "", fmt.Errorf("%q is no answer; it is as-described, differs or not-checked", s)
}

// newThings is a flag given once for everything new: KIND@PLACE or
// KIND@PLACE:NOTE.
type newThings []record.NewMark

func (n *newThings) String() string { return "" }

func (n *newThings) Set(s string) error {
	head, note, _ := strings.Cut(s, ":")
	kind, place, ok := strings.Cut(head, "@")
	if !ok || strings.TrimSpace(kind) == "" || strings.TrimSpace(place) == "" {
		return fmt.Errorf("%q does not say what is new and where; write KIND@PLACE:NOTE", s)
	}
	*n = append(*n, record.NewMark{Kind: record.Kind(strings.TrimSpace(kind)), Place: strings.TrimSpace(place), Note: strings.TrimSpace(note)})
	return nil
}

// receiving is what the command line says of one receiving.
type receiving struct {
	answers              []record.Checked
	fresh                newThings
	photos, drop         words
	rest                 string
	by, place, note      string
	countersign, receipt string
	knowingly, asJSON    bool
	paper                string
	given                func(name string) bool
}

func (r *receiving) flagsOf(fs *flag.FlagSet) {
	fs.Var(entryAnswers{record.OfMark, &r.answers}, "mark", "`N=ANSWER` about mark N: as-described, not-checked or differs:WORDS")
	fs.Var(entryAnswers{record.OfPart, &r.answers}, "part", "`PART=ANSWER` about a part, such as tuners=differs:\"one button is cracked\"")
	fs.Var(entryAnswers{record.OfExtra, &r.answers}, "extra", "`ID=ANSWER` about what comes with it")
	fs.StringVar(&r.rest, "rest", "", "`answer` about everything not checked yet: as-described; what is said of one entry holds")
	fs.Var(&r.fresh, "new", "`KIND@PLACE:NOTE` of something that the report does not have")
	fs.Var(&r.photos, "photo", "`N=FILE`, a photo of the new mark N")
	fs.Var(&r.drop, "drop", "`number` of something new that is taken back")
	fs.StringVar(&r.by, "by", "", "`name` of who receives the instrument")
	fs.StringVar(&r.place, "place", "", "`where` it was received")
	fs.StringVar(&r.note, "note", "", "`text` about the whole")
	fs.StringVar(&r.countersign, "countersign", "", "sign in the buyer's field of a copy: a new `file`; the answers are written beside it")
	fs.StringVar(&r.receipt, "receipt", "", "issue a receipt of its own, signed: a new `file`")
	fs.BoolVar(&r.knowingly, "knowingly", false, "countersign although not everything is as described; the signature then says so")
	fs.StringVar(&r.paper, "paper", "", "`A4` or Letter, for the receipt")
	fs.BoolVar(&r.asJSON, "json", false, "print the answers, or what was signed, as JSON")
	r.given = func(name string) bool {
		found := false
		fs.Visit(func(f *flag.Flag) { found = found || f.Name == name })
		return found
	}
}

func runReceive(ctx context.Context, c *call) error {
	var r receiving
	r.flagsOf(c.flags)
	list := c.flags.String("known", "", "`file` with the list of known keys; the user's own otherwise")
	sec := c.secretFlags()
	if err := c.parse(1, 1); err != nil {
		return err
	}
	if r.countersign != "" && r.receipt != "" {
		return &usageError{"either --countersign or --receipt: a receipt says what differs, a countersignature that the report holds"}
	}
	opt, err := pdfout.Trusting(*list, "", c.Now())
	if err != nil {
		return err
	}
	folder, err := receive.Folder()
	if err != nil {
		return err
	}
	v, err := receive.Open(ctx, c.args[0], folder, opt)
	if err != nil {
		return err
	}
	if err := r.answer(v); err != nil {
		return err
	}
	if r.countersign == "" && r.receipt == "" {
		return r.print(c, v)
	}
	// What is missing is said before a passphrase is asked for.
	if _, err := v.Finish(c.Now()); err != nil {
		return err
	}
	if t := v.Draft().Tally(); r.countersign != "" && !t.Clean() && !r.knowingly {
		return fmt.Errorf("countersign %s: %s: %w", v.Of.Number, t.Words(), receive.ErrNotClean)
	}
	id, err := c.personal(folder, v.Draft().By, sec)
	if err != nil {
		return err
	}
	return r.sign(ctx, c, v, id)
}

// answer takes over what the command line says; each is saved at once.
func (r *receiving) answer(v *receive.Receiving) error {
	d := v.Draft()
	by, place, note := d.By, d.Place, d.Note
	for name, p := range map[string]*string{"by": &by, "place": &place, "note": &note} {
		if r.given(name) {
			*p = map[string]string{"by": r.by, "place": r.place, "note": r.note}[name]
		}
	}
	if r.given("by") || r.given("place") || r.given("note") {
		if err := v.About(by, place, note); err != nil {
			return err
		}
	}
	if r.given("rest") { // first, so that what is said of one entry holds
		a, err := parseAnswer(r.rest)
		if err != nil {
			return &usageError{"--rest " + err.Error()}
		}
		if err := v.Rest(a); err != nil {
			return err
		}
	}
	for _, a := range r.answers {
		if a.Answer == record.Differs && strings.TrimSpace(a.Note) == "" {
			return &usageError{fmt.Sprintf("%s %s differs, but not in words; write %s=differs:WORDS", a.What, a.ID, a.ID)}
		}
		if err := v.Answer(a.What, a.ID, a.Answer, a.Note); err != nil {
			return err
		}
	}
	return r.news(v)
}

// news takes over what is new and what is taken back.
func (r *receiving) news(v *receive.Receiving) error {
	for _, s := range r.drop {
		n, err := strconv.Atoi(s)
		if err != nil {
			return &usageError{fmt.Sprintf("--drop %q is no number", s)}
		}
		if err := v.RemoveNew(n); err != nil {
			return err
		}
	}
	for _, n := range r.fresh {
		if _, err := v.AddNew(n); err != nil {
			return err
		}
	}
	for _, s := range r.photos {
		num, file, ok := strings.Cut(s, "=")
		n, err := strconv.Atoi(num)
		if !ok || err != nil || file == "" {
			return &usageError{fmt.Sprintf("--photo %q does not say which new mark it belongs to; write NUMBER=FILE", s)}
		}
		if err := v.AddPhoto(n, file); err != nil {
			return err
		}
	}
	return nil
}

// print lists the answers so far.
func (r *receiving) print(c *call, v *receive.Receiving) error {
	d := v.Draft()
	if r.asJSON {
		return c.printJSON(d)
	}
	for _, a := range d.Checked {
		line := fmt.Sprintf("%-12s  %s %s: %s", a.Answer, a.What, onOneLine(a.ID), onOneLine(a.Says))
		if a.Note != "" {
			line += " -> " + onOneLine(a.Note)
		}
		c.print("%s\n", line)
	}
	for _, n := range d.New {
		c.print("%-12s  %d: %s, %s%s\n", "new", n.Number, onOneLine(string(n.Kind)), onOneLine(n.Place), parted(n.Note))
	}
	n, all := v.Progress()
	c.print("%s: %d of %d checked, %s\n", v.Of.Number, n, all, d.Tally().Words())
	return nil
}

func parted(note string) string {
	if note == "" {
		return ""
	}
	return ": " + onOneLine(note)
}

func (r *receiving) sign(ctx context.Context, c *call, v *receive.Receiving, id *sign.Identity) error {
	var done *receive.Done
	var err error
	word := "countersigned"
	if r.countersign != "" {
		done, err = v.Countersign(ctx, r.countersign, id, c.Now(), r.knowingly)
	} else {
		word = "receipt issued"
		done, err = v.Issue(ctx, r.receipt, r.paper, id, c.Now())
	}
	if err != nil {
		return err
	}
	if r.asJSON {
		return c.printJSON(done)
	}
	c.print("%s: %s, %s, signed with key %s\n%s\n", done.Number, word, done.Words, id.Fingerprint().Short(), done.File)
	if done.Beside != "" {
		c.print("%s\nsend both files back\n", done.Beside)
	}
	return nil
}

// personal opens the user's own key, or makes it on first use.
func (c *call) personal(folder, by string, sec secret) (*sign.Identity, error) {
	fresh := !receive.HasKey(folder)
	if fresh {
		fmt.Fprintln(c.Stderr, "you have no signing key yet; one is made now and kept encrypted under your passphrase, in your own folder")
	}
	pass, err := c.passphrase(sec, fresh)
	if err != nil {
		return nil, err
	}
	return receive.OpenKey(folder, by, pass, c.Now())
}
