package page

import (
	"fmt"
	"strings"

	"wornwood/annotate"
	"wornwood/capture/record"
	"wornwood/pdfout/paint"
)

// documents lists what is kept with the examination beside the photos. A record
// without any has no such section.
func (l *layout) documents() {
	list := l.r.Record.Attachments
	if len(list) == 0 {
		return
	}
	l.section("documents", l.say("section.documents"), 62) // three rows stand with it
	l.para(l.left, measure, l.say("documents.kept"), smallFont, paint.Dim)
	l.y += 2
	t := table{l: l, x: l.left, dense: true, cols: []column{
		{head: l.say("col.no"), width: 8, font: ledgerBold},
		{head: l.say("documents.file"), width: 58, font: ledgerFont},
		{head: l.say("documents.kind"), width: 26, font: ledgerFont},
		{head: l.say("documents.digest"), width: 86, font: ledgerFont},
	}}
	var rows [][]cell
	for i := range list {
		rows = append(rows, l.documentRow(i, t.inner(3)))
	}
	t.draw(rows)
}

func (l *layout) documentRow(i int, w float64) []cell {
	a := &l.r.Record.Attachments[i]
	file := clean(a.Name)
	if s := clean(a.About); s != "" {
		file += "\n" + upper(s)
	}
	kind := upper(l.word("attachment", a.Kind))
	if s := clean(a.Date); s != "" {
		kind += "\n" + s
	}
	facts := fmt.Sprintf("%s, %s", l.sizeWords(a.Size), clean(a.Type))
	if tied := annotate.TiedTo(l.r.Record, a.ID); len(tied) > 0 {
		facts += "\n" + upper(l.tied(tied))
	}
	lines := paint.Clamp(paint.Wrap(facts, ledgerFont, w), 24, ledgerFont, w)
	hash := hashFont.Sized(6)
	return []cell{words(fmt.Sprint(i + 1)), words(file), words(kind), {
		height: lead(ledgerFont) * float64(1+len(lines)),
		draw: func(x, y, w float64) {
			l.d.Text(x, y+lead(ledgerFont)*0.72, a.ID, hash, paint.Black)
			for k, s := range lines {
				l.d.Text(x, y+lead(ledgerFont)*(1.72+float64(k)), s, ledgerFont, paint.Dim)
			}
		},
	}}
}

// sizeWords is a file's size; a short text has some bytes only.
func (l *layout) sizeWords(n int64) string {
	if n < 1000 {
		return l.say("size.bytes", n)
	}
	return l.bytesWords(n)
}

// tied are the words for what names a file.
func (l *layout) tied(list []string) string {
	var out []string
	for _, s := range list {
		out = append(out, l.usuallyPhrase("tied", s))
	}
	return strings.Join(out, "; ")
}

// filesInWords names files by their numbers in the report's lists: "document 2,
// photo 4 (serial)". One that the examination does not have any more is left out.
func (l *layout) filesInWords(ids []string) string {
	var out []string
	for _, id := range ids {
		for i := range l.r.Record.Attachments {
			if a := &l.r.Record.Attachments[i]; a.ID == id {
				out = append(out, l.say("files.numbered", l.word("attachment", a.Kind), i+1))
			}
		}
		for i := range l.r.Record.Photos {
			if p := &l.r.Record.Photos[i]; p.ID == id {
				out = append(out, l.say("photo.named", i+1)+parenthesis(l.photoTitle(p)))
			}
		}
	}
	return strings.Join(out, ", ")
}

func parenthesis(s string) string {
	if s = clean(s); s == "" {
		return ""
	}
	return " (" + s + ")"
}

// claimSupport is what supports a claim, or contradicts it: words, files, and
// what its standing lacks.
func (l *layout) claimSupport(c *record.Claim) string {
	var out []string
	if s := clean(c.Support); s != "" {
		out = append(out, s)
	}
	if s := l.filesInWords(c.Files); s != "" {
		out = append(out, upper(s))
	}
	if c.Standing != record.Stated {
		if gap := annotate.ClaimGap(l.r.Record, c); gap != "" {
			out = append(out, upper(l.phrase("gap", gap))+".")
		}
	}
	return orDash(strings.Join(out, ". "))
}

// contradicted says in a sentence which claims do not stand, "" for none.
func (l *layout) contradicted() string {
	var out []string
	for _, c := range l.r.Record.Claims {
		if c.Standing == record.Contradicted {
			out = append(out, strings.TrimSpace(l.lower(l.usually("subject", c.About))+" "+l.quoted(c.Text)))
		}
	}
	if len(out) == 0 {
		return ""
	}
	return l.sayCount("claims.contradicted", len(out), l.list(out))
}
