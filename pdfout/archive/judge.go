package archive

import (
	"fmt"
	"strings"
	"unicode"

	"wornwood/pdfout"
	"wornwood/pdfout/receive"
	"wornwood/pdfout/sign"
)

// check verifies what is staged and stages what belongs to it.
func (f *filing) check(j judged) (judged, error) {
	in, err := f.a.store.Staged(j.Hash)
	if err != nil {
		return j, err
	}
	defer in.Close()
	v, rep, err := f.verify(in)
	if err != nil {
		return j, err
	}
	if why := refusal(v, rep, in); why != "" {
		return f.refuse(j, v, why)
	}
	rec, ok := rep.Attachment(pdfout.RecordName)
	if !ok {
		return f.refuse(j, v, "There is no record inside the file.")
	}
	record, err := rec.Bytes(maxVerdict)
	if err != nil || sum(record) != v.RecordHash {
		return f.refuse(j, v, "The record inside the file cannot be read a second time.")
	}
	verdict, err := pdfout.Canonical(v)
	if err != nil {
		return j, err
	}
	first, err := sumTo(in, rep.Coverage.Signed)
	if err != nil {
		return j, err
	}
	for _, p := range []struct {
		area Area
		data []byte
	}{{Records, record}, {Verdicts, verdict}} {
		if err := f.a.store.Put(Ref{p.area, j.Hash}, p.data); err != nil {
			return j, err
		}
	}
	j.Result, j.verdict = IsFiled, v
	j.entry.Kind, j.entry.Summary, j.entry.Verdict, j.entry.Record, j.entry.First = Filed, v.Headline(), sum(verdict), v.RecordHash, first
	return j, nil
}

// verify checks the report. A file that makes the check fail is refused, and
// takes nothing else with it.
func (f *filing) verify(in Content) (v *pdfout.Verdict, rep *sign.Report, err error) {
	defer func() {
		if p := recover(); p != nil {
			v, rep, err = nil, nil, nil
		}
	}()
	return pdfout.VerifyWhole(f.ctx, in, in.Size(), f.opt.Verify)
}

// refusal says why a file is not filed, "" where it is.
func refusal(v *pdfout.Verdict, rep *sign.Report, in Content) string {
	if v == nil {
		return "The check broke off on this file, so nothing is known of it."
	}
	if _, is := rep.Attachment(receive.Name); is {
		return "It is a receipt, not a report; keep it beside the report that it is about."
	}
	if !v.OK {
		if w := v.Worst(); w != "" {
			return w
		}
		return v.Headline()
	}
	if end := rep.Coverage.Signed; v.Record == nil || len(v.Signatures) == 0 || end < 1 || end > in.Size() {
		return "The signature names no end, so nothing shows what was signed."
	}
	return ""
}

// refuse stages the reason as a text that explains the file beside it.
func (f *filing) refuse(j judged, v *pdfout.Verdict, why string) (judged, error) {
	j.Result, j.Why = IsRefused, clean(why, 600)
	before, err := f.a.index.Refused(j.Hash)
	if err != nil {
		return j, err
	}
	if before {
		j.Result = WasRefused
		return j, f.a.store.Discard(j.Hash)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "Not filed: %s\nIt came as: %s\nSHA-256: %s\n", j.Why, j.Source, j.Hash)
	if v != nil {
		fmt.Fprintf(&b, "\nThe whole verdict:\n%s\n", v.Headline())
		for _, l := range v.Lines {
			fmt.Fprintf(&b, "%-4s %s\n", l.Standing, clean(l.Text, 2000))
		}
	}
	reason := []byte(b.String())
	if err := f.a.store.Put(Ref{Reasons, j.Hash}, reason); err != nil {
		return j, err
	}
	j.entry.Kind, j.entry.Summary, j.entry.Verdict = Rejected, j.Why, sum(reason)
	return j, nil
}

// clean makes one line without control characters of a text that a stranger may
// have written, and cuts it.
func clean(s string, most int) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case unicode.IsControl(r) || unicode.Is(unicode.Cf, r) || r == unicode.ReplacementChar:
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, ""))
	s = strings.Join(strings.Fields(s), " ")
	if r := []rune(s); len(r) > most {
		s = string(r[:most-1]) + "…"
	}
	return s
}

func sentence(err error) string { return clean(err.Error(), 600) }
