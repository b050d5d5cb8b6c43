package receive

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"sync"
	"time"

	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/pdfout"
	"wornwood/pdfout/sign"
)

// CanTake says whether a checked receipt is about a report that this bench
// issued, and is not kept yet.
func CanTake(b *bench.Bench, path string, v *Verdict) bool {
	if v == nil || !v.OK || v.Receipt == nil {
		return false
	}
	n := v.Receipt.Of.Number
	if _, err := os.Stat(b.ReportPath(n + ".pdf")); err != nil {
		return false
	}
	data, err := readFile(path, maxFile)
	if err != nil {
		return false
	}
	kept, err := b.Receipts(n)
	return err == nil && !contains(kept, sum(data)+".pdf")
}

func contains(list []string, end string) bool {
	for _, s := range list {
		if strings.HasSuffix(s, end) {
			return true
		}
	}
	return false
}

// TakeBack keeps what came back for a report that this bench issued: a receipt,
// which must pass Check and be about the very report, or a countersigned copy,
// as pdfout.TakeBack keeps it. The answers that belong to a countersigned copy
// are kept with it when they lie beside the file and have the digest that the
// signature names; a file of that name with another content is refused.
func TakeBack(ctx context.Context, b *bench.Bench, path string, opt pdfout.VerifyOptions) (*Done, error) {
	data, err := readFile(path, maxFile)
	if err != nil {
		return nil, fmt.Errorf("take back receipt: %w", err)
	}
	if isReceipt(ctx, data) {
		return takeReceipt(ctx, b, data, opt)
	}
	var text []byte
	var rec *record.Receipt
	by, err := buyerOf(ctx, data)
	if err == nil && digestOf(by.Reason) != "" {
		if text, rec, err = besideAnswers(ctx, path, data, digestOf(by.Reason)); err != nil {
			return nil, fmt.Errorf("take back report: %w", err)
		}
	}
	r, err := pdfout.TakeBack(ctx, b, path, opt)
	if err != nil {
		return nil, err
	}
	done := &Done{File: r.File, Number: r.Number, By: r.By, Key: r.Key, Known: r.Known}
	done.Words = wordsOf(by.Reason)
	if text == nil {
		return done, nil
	}
	if done.Beside, _, err = b.KeepReceipt(r.Number, ".json", text); err != nil {
		return nil, err
	}
	done.Receipt, done.Tally, done.Words, done.Claimed = sum(text), rec.Tally(), rec.Tally().Words(), &rec.At
	return done, nil
}

// wordsOf is what the reason of a countersignature says was found.
func wordsOf(reason string) string {
	s, _, _ := strings.Cut(reason, reasonDigest)
	if _, after, ok := strings.Cut(s, ": "); ok {
		return strings.TrimSuffix(after, ".")
	}
	return strings.TrimSuffix(s, ".")
}

// buyerOf is the buyer's signature of a countersigned report.
func buyerOf(ctx context.Context, data []byte) (sign.Signature, error) {
	rep, err := sign.Verify(ctx, bytes.NewReader(data), int64(len(data)), sign.VerifyOptions{})
	if err != nil {
		return sign.Signature{}, err
	}
	for _, s := range rep.Signatures {
		if s.Field == sign.FieldBuyer {
			return s, nil
		}
	}
	return sign.Signature{}, errors.New("nobody has countersigned it")
}

// besideAnswers reads the answers beside a countersigned copy, which have to be
// those that it names and about this report; nil when there are none.
func besideAnswers(ctx context.Context, path string, data []byte, digest string) ([]byte, *record.Receipt, error) {
	name := besideName(path)
	text, err := readFile(name, record.MaxReceiptBytes)
	if errors.Is(err, os.ErrNotExist) {
		return nil, nil, nil
	}
	if err != nil {
		return nil, nil, err
	}
	why := ""
	if sum(text) != digest {
		why = "it has not the digest that the countersignature names"
	}
	var r *record.Receipt
	if why == "" {
		if r, err = Parse(text); err != nil {
			why = err.Error()
		}
	}
	if why == "" {
		rep, err := readData(ctx, data, pdfout.VerifyOptions{})
		if err != nil {
			return nil, nil, err
		}
		if why = differs(r, rep); why != "" {
			why = "it is not about this report: " + why
		}
	}
	if why != "" {
		return nil, nil, fmt.Errorf("the answers in %s are not kept: %s; ask the buyer for the file as it was written, or put it aside to keep the countersigned copy alone", filepath.Base(name), why)
	}
	return text, r, nil
}

func takeReceipt(ctx context.Context, b *bench.Bench, data []byte, opt pdfout.VerifyOptions) (*Done, error) {
	v, err := CheckData(ctx, data, opt)
	if err != nil {
		return nil, err
	}
	if !v.OK {
		return nil, fmt.Errorf("take back receipt: it does not pass the check: %s", v.Worst())
	}
	r := v.Receipt
	// The number becomes part of a path; a report of the bench has one of its kind.
	own := b.ReportPath(r.Of.Number + ".pdf")
	if st, err := os.Stat(own); err != nil || !st.Mode().IsRegular() {
		return nil, fmt.Errorf("take back receipt: this bench has issued no report %.40s; open the bench that did: %w", r.Of.Number, bench.ErrNoSuchReport)
	}
	rep, err := Read(ctx, own, opt)
	if err != nil {
		return nil, fmt.Errorf("take back receipt: the report on this bench: %w", err)
	}
	if why := differs(r, rep); why != "" {
		return nil, fmt.Errorf("take back receipt: it is not about the report of this bench: %s", why)
	}
	rel, known, err := b.KeepReceipt(r.Of.Number, ".pdf", data)
	if err != nil {
		return nil, err
	}
	return &Done{File: rel, Receipt: v.Hash, Key: v.Signatures[0].Fingerprint, Tally: r.Tally(), Words: r.Tally().Words(), Number: r.Of.Number, Known: known, By: v.Signatures[0].Signer, Claimed: &r.At}, nil
}

// Answered is one thing that a buyer sent back for a report.
type Answered struct {
	File          string          `json:"file"` // inside the bench
	Countersigned bool            `json:"countersigned"`
	By            string          `json:"by"`
	Key           string          `json:"key"`
	At            time.Time       `json:"at"` // by the signer's own clock
	Words         string          `json:"words"`
	Receipt       *record.Receipt `json:"receipt,omitempty"` // nil where only a countersignature came
}

// Line is it in a line: "countersigned by A. Buyer on 2026-11-23, all as
// described", "received with 2 differences by ...".
func (a Answered) Line() string {
	if a.Countersigned {
		s := fmt.Sprintf("countersigned by %s on %s", a.By, day(a.At))
		if a.Words != "" {
			s += ", " + a.Words
		}
		return s
	}
	return fmt.Sprintf("received with %s by %s on %s", a.Words, a.By, day(a.At))
}

// Short is it for a narrow place.
func (a Answered) Short() string {
	if a.Receipt != nil && a.Receipt.Tally().Differ+a.Receipt.Tally().New > 0 {
		return a.Words
	}
	if a.Countersigned {
		return "countersigned"
	}
	return "received"
}

// Details are what differs, what is new and what was not checked, a line each.
func (a Answered) Details() []string {
	if a.Receipt == nil {
		return nil
	}
	var out, open []string
	for _, c := range a.Receipt.Checked {
		name := capital(string(c.What)) + " " + c.ID
		switch {
		case c.What == record.OfPart:
			name = capital(c.ID)
		case c.What == record.OfExtra:
			name = c.Says
		}
		switch c.Answer {
		case record.Differs:
			out = append(out, name+" differs: "+c.Note)
		case record.NotChecked:
			open = append(open, strings.ToLower(name[:1])+name[1:])
		}
	}
	for _, n := range a.Receipt.New {
		s := fmt.Sprintf("New, %d: %s", n.Number, n.Kind)
		if n.Place != "" {
			s += ", " + n.Place
		}
		if n.Note != "" {
			s += ". " + capital(n.Note)
		}
		out = append(out, s)
	}
	if len(open) > 0 {
		out = append(out, "Not checked: "+strings.Join(open, ", "))
	}
	if a.Receipt.Note != "" {
		out = append(out, "Note: "+a.Receipt.Note)
	}
	return out
}

// kept remembers what files of receipts say. They are named by their content,
// so what was read once stays true; countersigned copies are never replaced.
var kept struct {
	sync.Mutex
	by map[string]Answered
}

// Answers are what came back for a report of the bench, the oldest first. They
// were checked when they were taken; the bench's own check says whether the
// files are still the same.
func Answers(ctx context.Context, b *bench.Bench, number string) ([]Answered, error) {
	var out []Answered
	list, err := b.Receipts(number)
	if err != nil {
		return nil, err
	}
	loose := map[string]string{} // answers beside a countersignature, by digest
	for _, rel := range list {
		if strings.HasSuffix(rel, ".json") {
			loose[strings.TrimSuffix(rel[len(rel)-69:], ".json")] = rel
			continue
		}
		a, err := read(ctx, b, rel, nil)
		if err != nil {
			return nil, fmt.Errorf("read receipt %s: %w", rel, err)
		}
		out = append(out, a)
	}
	if rel, ok := b.Countersigned(number); ok {
		a, err := read(ctx, b, rel, loose)
		if err != nil {
			return nil, fmt.Errorf("read countersigned copy %s: %w", rel, err)
		}
		out = append(out, a)
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].At.Before(out[j].At) })
	return out, nil
}

// read reads one kept file; loose are the answers that a countersigned copy may
// name.
func read(ctx context.Context, b *bench.Bench, rel string, loose map[string]string) (Answered, error) {
	path := b.ReportPath(rel)
	key := fmt.Sprintf("%s %d", path, len(loose)) // answers may come after the copy that they belong to
	kept.Lock()
	a, ok := kept.by[key]
	kept.Unlock()
	if ok {
		return a, nil
	}
	data, err := readFile(path, maxFile)
	if err != nil {
		return Answered{}, err
	}
	a = Answered{File: rel, Countersigned: loose != nil}
	if a.Countersigned {
		err = a.countersignature(ctx, b, data, loose)
	} else {
		err = a.receipt(ctx, data)
	}
	if err != nil {
		return Answered{}, err
	}
	kept.Lock()
	defer kept.Unlock()
	if kept.by == nil || len(kept.by) > 4096 {
		kept.by = map[string]Answered{}
	}
	kept.by[key] = a
	return a, nil
}

func (a *Answered) countersignature(ctx context.Context, b *bench.Bench, data []byte, loose map[string]string) error {
	s, err := buyerOf(ctx, data)
	if err != nil {
		return err
	}
	a.By, a.Key, a.At, a.Words = s.Signer, string(s.Fingerprint), s.ClaimedTime, ""
	if digestOf(s.Reason) == "" {
		return nil
	}
	a.Words = wordsOf(s.Reason)
	if rel, ok := loose[digestOf(s.Reason)]; ok {
		text, err := readFile(b.ReportPath(rel), record.MaxReceiptBytes)
		if err != nil {
			return err
		}
		if a.Receipt, err = Parse(text); err != nil {
			return err
		}
	}
	return nil
}

func (a *Answered) receipt(ctx context.Context, data []byte) error {
	v, err := CheckData(ctx, data, pdfout.VerifyOptions{})
	if err != nil {
		return err
	}
	if v.Receipt == nil || len(v.Signatures) == 0 {
		return errors.New("it is no receipt any more; 'wornwood check' says which files of the bench are damaged")
	}
	s := v.Signatures[0]
	a.By, a.Key, a.At, a.Words, a.Receipt = s.Signer, s.Fingerprint, v.Receipt.At, v.Receipt.Tally().Words(), v.Receipt
	return nil
}
