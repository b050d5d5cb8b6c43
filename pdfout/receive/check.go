package receive

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"time"

	"golang.org/x/text/unicode/norm"

	"wornwood/capture/record"
	"wornwood/pdfout"
	"wornwood/pdfout/page"
	"wornwood/pdfout/sign"
)

// The codes of what Check itself finds; they stay the same when the words
// change.
const (
	ReceiptFits    sign.Code = "receipt-fits"    // the receipt inside is the one that every page names and prints
	ReceiptMissing sign.Code = "receipt-missing" // there is none, or it is no receipt
	ReceiptOther   sign.Code = "receipt-other"   // the pages name or print another
	ReceiptSays    sign.Code = "receipt-says"    // what it says, in a line
	ReportNamed    sign.Code = "report-named"    // which report it is about
	ReportIsIt     sign.Code = "report-is-it"    // the report that was given is that report
	ReportIsNot    sign.Code = "report-is-not"   // it is another one
)

// Verdict is what a receipt proves. OK says that it is unaltered since its buyer
// signed it and that its pages print the receipt inside.
type Verdict struct {
	*pdfout.Verdict
	Receipt *record.Receipt `json:"receipt,omitempty"` // nil when there is none that can be read
	Hash    string          `json:"receiptHash,omitempty"`
}

// Is says whether the file at path is a receipt: a PDF with a receipt attached.
// A file that cannot be read is none.
func Is(ctx context.Context, path string) bool {
	data, err := readFile(path, maxFile)
	return err == nil && isReceipt(ctx, data)
}

func isReceipt(ctx context.Context, data []byte) bool {
	// Most files are reports and large; a receipt has its name in clear text.
	if !bytes.Contains(data, []byte(Name)) {
		return false
	}
	rep, err := sign.Verify(ctx, bytes.NewReader(data), int64(len(data)), sign.VerifyOptions{})
	if err != nil {
		return false
	}
	_, receipt := rep.Attachment(Name)
	_, report := rep.Attachment(pdfout.RecordName)
	return receipt && !report
}

// Check reads the receipt at path as if its sender were clever and says what it
// proves. What is wrong with it is in the verdict; an error means that the file
// could not be read or that ctx was cancelled.
func Check(ctx context.Context, path string, opt pdfout.VerifyOptions) (*Verdict, error) {
	data, err := readFile(path, maxFile)
	if err != nil {
		return nil, fmt.Errorf("check receipt: %w", err)
	}
	return CheckData(ctx, data, opt)
}

// CheckData is Check for a receipt that was read already.
func CheckData(ctx context.Context, data []byte, opt pdfout.VerifyOptions) (*Verdict, error) {
	in, size := bytes.NewReader(data), int64(len(data))
	rep, err := sign.Verify(ctx, in, size, sign.VerifyOptions{KnownKeys: opt.Known, Roots: opt.Roots, TSARoots: opt.TSARoots, Now: opt.Now, Limits: opt.Limits})
	if err != nil {
		return nil, fmt.Errorf("check receipt: %w", err)
	}
	v := &Verdict{Verdict: pdfout.SignedVerdict(rep, size)}
	for i, l := range v.Lines { // the one who examined is here the buyer
		v.Lines[i].Text = strings.NewReplacer("examiner", "buyer", "in the report ", "in the receipt ", "a report issued", "a receipt issued").Replace(l.Text)
	}
	if !rep.Has(sign.Unreadable) && !rep.Has(sign.Encrypted) && !rep.Has(sign.TooLarge) {
		v.inside(rep, data, opt)
	}
	if err := ctx.Err(); err != nil {
		return nil, fmt.Errorf("check receipt: %w", err)
	}
	v.OK = rep.OK && v.Worst() == ""
	return v, nil
}

func (v *Verdict) say(c sign.Code, s pdfout.Standing, format string, a ...any) {
	v.Lines = append(v.Lines, pdfout.Line{Code: c, Standing: s, Text: fmt.Sprintf(format, a...)})
}

// inside compares the attached receipt with the pages.
func (v *Verdict) inside(rep *sign.Report, data []byte, opt pdfout.VerifyOptions) {
	a, ok := rep.Attachment(Name)
	if !ok {
		v.say(ReceiptMissing, pdfout.Bad, "There is no receipt inside the file. It is not a receipt of this program, or the answers were taken out.")
		return
	}
	text, err := a.Bytes(record.MaxReceiptBytes)
	var r *record.Receipt
	if err == nil {
		r, err = Parse(text)
	}
	if err != nil {
		v.say(ReceiptMissing, pdfout.Bad, "The receipt inside the file cannot be used: %v.", err)
		return
	}
	v.Receipt, v.Hash = r, sum(text)
	texts, err := pdfout.PageTexts(bytes.NewReader(data), int64(len(data)), opt.Limits)
	if err != nil {
		v.say(ReceiptOther, pdfout.Bad, "The pages cannot be read (%v), so nothing shows that they print the receipt inside.", err)
		return
	}
	if why := v.pages(texts); why != "" {
		v.say(ReceiptOther, pdfout.Bad, "%s The receipt inside (%.16s …) and the pages do not belong together.", why, v.Hash)
		return
	}
	v.say(ReceiptFits, pdfout.Good, "The answers inside are those that all %d pages name, by their digest, and print.", len(texts))
	v.say(ReceiptSays, pdfout.Note, "Received by %s on %s: %s. So says the receipt; whether it is right is not checked.", r.By, r.At.Format("2006-01-02 15:04 -07:00"), r.Tally().Words())
	v.say(ReportNamed, pdfout.Note, "It is about report %s (%s), sha-256 %s, signed with key %s. Give that report as well to see whether it is the one.", r.Of.Number, r.Of.Title, r.Of.SHA256, sign.Fingerprint(r.Of.Key).Short())
}

// pages says in a sentence why the pages do not print the receipt, "" when they
// do: each names it at its foot, and all that differs or is new is on them.
func (v *Verdict) pages(texts [][]string) string {
	var all strings.Builder
	for i, list := range texts {
		named := false
		for _, s := range list {
			if d := page.ReceiptDigest(s); d != "" {
				if d != v.Hash {
					return fmt.Sprintf("Page %d names the receipt %.16s ….", i+1, d)
				}
				named = true
				continue
			}
			all.WriteString(dense(s))
		}
		if !named {
			return fmt.Sprintf("Page %d names no receipt.", i+1)
		}
	}
	printed := all.String()
	for _, want := range page.ReceiptTexts(v.Receipt) {
		if d := dense(want); d != "" && !strings.Contains(printed, d) {
			return fmt.Sprintf("“%s” is on no page.", clip(want))
		}
	}
	return ""
}

// dense is a text without spaces: where a line is broken is no difference.
func dense(s string) string { return strings.Join(strings.Fields(norm.NFC.String(s)), "") }

// About compares a receipt with the report that is given, which has to pass its
// own check. It adds a line and says whether it is the one.
func (v *Verdict) About(ctx context.Context, path string, opt pdfout.VerifyOptions) (bool, error) {
	rep, err := Read(ctx, path, opt)
	if err != nil {
		return false, err
	}
	if v.Receipt == nil {
		return false, nil
	}
	if why := differs(v.Receipt, rep); why != "" {
		v.say(ReportIsNot, pdfout.Bad, "The report that was given is not the one: %s.", why)
		v.OK = false
		return false, nil
	}
	v.say(ReportIsIt, pdfout.Good, "The report that was given is the one: number, SHA-256, record and key agree, and the receipt answers for each of its %d entries.", len(v.Receipt.Checked))
	return true, nil
}

// differs says how a report is not the one of a receipt, "" when it is.
func differs(r *record.Receipt, rep *Report) string {
	of := rep.Of
	switch {
	case r.Of.Number != of.Number:
		return fmt.Sprintf("it has the number %s, the receipt is about %s", of.Number, r.Of.Number)
	case r.Of.SHA256 != of.SHA256 || r.Of.Size != of.Size:
		return fmt.Sprintf("its sha-256 as issued is %.16s …, the receipt names %.16s …", of.SHA256, r.Of.SHA256)
	case r.Of.RecordHash != of.RecordHash:
		return fmt.Sprintf("the record inside it is %.16s …, the receipt names %.16s …", of.RecordHash, r.Of.RecordHash)
	case r.Of.Key != of.Key:
		return "it is signed with another key than the receipt names"
	case r.Of.Title != of.Title || r.Of.Serial != of.Serial:
		return "it is about another instrument than the receipt names"
	}
	if err := r.Fits(rep.Record); err != nil {
		return err.Error()
	}
	return ""
}

// Headline is the verdict in one sentence.
func (v *Verdict) Headline() string {
	switch {
	case !v.OK:
		return "Do not rely on this receipt: it is altered, incomplete, or does not hold together."
	case len(v.Signatures) > 0 && v.Signatures[0].Known:
		return "A receipt, complete and unaltered, signed with a key known here as " + v.Signatures[0].KnownAs + "."
	}
	return "A receipt, complete and unaltered since it was signed; who holds the signing key is not known here."
}

// day is a date as lists print it.
func day(t time.Time) string { return t.Format(time.DateOnly) }
