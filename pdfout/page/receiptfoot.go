package page

import (
	"fmt"
	"strings"

	"wornwood/capture/record"
	"wornwood/pdfout/paint"
)

// foot draws the foot of every page with the digest of the attached receipt.
func (p *receiptPages) foot() {
	l := p.layout
	if l.err != nil {
		return
	}
	n := l.d.Pages()
	about := strings.Join([]string{"Receipt for report " + orDash(p.q.Receipt.Of.Number), orDash(p.q.Receipt.Of.Title)}, "  ·  ")
	small := smallFont.Sized(7)
	for i := 1; i <= n; i++ {
		l.d.GoTo(i)
		y := l.d.Height() - 16
		l.d.Artifact(func() {
			l.d.Line(l.left, y, l.right, y, 0.7, paint.Black)
			s, f := paint.Fit(about, small, 140, 6)
			l.d.Text(l.left, y+4, s, f, paint.Dim)
			l.d.Text(l.left, y+7.4, receiptDigest+p.q.Hash, hashFont, paint.Dim)
			l.d.Right(l.right, y+4, fmt.Sprintf("%d / %d", i, n), smallBold.Sized(8.2), paint.Black)
		})
	}
}

const receiptDigest = "receipt sha-256  "

// ReceiptDigest is the digest that a text at the foot of a receipt names, ""
// for any other text.
func ReceiptDigest(s string) string {
	if d, ok := strings.CutPrefix(s, receiptDigest); ok {
		return d
	}
	return ""
}

// ReceiptTexts are the texts that the pages of a receipt must print: who and
// when, what differs and what is new, in full.
func ReceiptTexts(r *record.Receipt) []string {
	out := []string{ReceiptSummary(r.Tally()), examinedBy(r), clean(r.Of.Number), r.Of.SHA256, upper(clean(r.Note))}
	for _, c := range r.Checked {
		if c.Answer == record.Differs {
			out = append(out, upper(clean(c.Note)))
		}
	}
	for _, n := range r.New {
		out = append(out, upper(clean(string(n.Kind))), upper(clean(n.Place)), upper(clean(n.Note)))
	}
	return out
}
