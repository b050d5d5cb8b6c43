package attacktest

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"strconv"
	"time"

	"wornwood/pdfout/pdf"
	"wornwood/pdfout/sign"
)

// signatures spoils the signature where it stands.
func (s *suite) signatures() {
	m := byteRange.FindSubmatchIndex(s.report)
	if m == nil {
		s.fail(errors.New("the report's byte range is not found"))
		return
	}
	num := func(i int) int {
		n, err := strconv.Atoi(string(s.report[m[2*i]:m[2*i+1]]))
		s.fail(err)
		return n
	}
	r := [4]int{num(1), num(2), num(3), num(4)}
	rangeIs := func(name string, change func(r *[4]int)) {
		q := r
		change(&q)
		s.add("byte range: "+name, s.inPlace(func(b []byte) {
			copy(b[m[2]:m[9]], fmt.Sprintf("%-*s", m[9]-m[2], fmt.Sprintf("%d %d %d %d", q[0], q[1], q[2], q[3])))
		}), sign.ByteRange, sign.Unreadable, sign.BrokenSignature)
	}
	rangeIs("a gap before the signature", func(r *[4]int) { r[1] -= 40 })
	rangeIs("a gap behind the signature", func(r *[4]int) { r[2] += 10; r[3] -= 10 })
	rangeIs("the signature covered in part", func(r *[4]int) { r[1] += 2 })
	rangeIs("an overlap", func(r *[4]int) { r[2] = r[1] - 5 })
	rangeIs("it does not start at 0", func(r *[4]int) { r[0] = 1; r[1]-- })
	rangeIs("it stops before the end", func(r *[4]int) { r[3] -= 30 })
	rangeIs("it goes beyond the end", func(r *[4]int) { r[3] += 30 })
	rangeIs("nothing at all", func(r *[4]int) { *r = [4]int{} })

	hex := r[1] + 1 // behind the angle bracket
	s.add("a digit of the signature changed", s.inPlace(func(b []byte) { b[hex+400] ^= 1 }), altered...)
	s.add("the signature blanked", s.inPlace(func(b []byte) {
		for i := hex; b[i] != '>'; i++ {
			b[i] = '0'
		}
	}), altered...)
	s.add("the signature's length made endless", s.inPlace(func(b []byte) { copy(b[hex+2:], "84FFFFFFFF") }), altered...)
	s.add("the signature cut in half", s.inPlace(func(b []byte) {
		for i := hex + 600; b[i] != '>'; i++ {
			b[i] = '0'
		}
	}), altered...)
	for name, c := range map[string][2]string{
		"a signature of an older kind": {"/ETSI.CAdES.detached", "/adbe.pkcs7.detached"},
		"a signature of no kind":       {"/ETSI.CAdES.detached", "/XXXX.XXXXX.detached"},
		"the claimed time changed":     {"/M (D:2", "/M (D:1"},
		"the certification loosened":   {"/P 2", "/P 3"},
		"the signature's kind renamed": {"/DocMDP", "/DocMDQ"},
	} {
		if bytes.Contains(s.report, []byte(c[0])) {
			s.add(name, bytes.Replace(bytes.Clone(s.report), []byte(c[0]), []byte(c[1]), 1), append([]sign.Code{sign.NotCertified}, altered...)...)
		}
	}
}

// strangers takes the report apart and has it signed by somebody else.
func (s *suite) strangers(id *sign.Identity) {
	if id == nil || len(s.f.Revisions) < 2 {
		s.fail(errors.New("a stranger's key and a signed report are needed"))
		return
	}
	plain := bytes.Clone(s.report[:s.f.Revisions[0].End])
	s.add("the signature cut off", plain, sign.NotSigned)
	when := id.Certificate.NotBefore.Add(2 * time.Hour)
	by := func(data []byte, field string) []byte {
		var out bytes.Buffer
		s.fail(sign.Sign(context.Background(), bytes.NewReader(data), int64(len(data)), &out, id, sign.SignOptions{Field: field, Now: when}))
		return out.Bytes()
	}
	s.list = append(s.list, Attack{Name: "signed anew by a stranger", Data: by(plain, sign.FieldExaminer), Says: []sign.Code{sign.SignerUnknown}, Explained: true})

	bare, err := pdf.Open(bytes.NewReader(plain), int64(len(plain)), pdf.Limits{})
	if err != nil {
		s.fail(err)
		return
	}
	t := &suite{report: plain, f: bare, v: bare.Last()}
	_, page := t.page(1)
	contents, _ := page["Contents"].(pdf.Ref)
	pages := t.append(one(contents.Num, text("0 0 9 9 re f")))
	s.fail(t.err)
	// The pages no longer name the record, so it is no report although it is signed.
	s.add("other pages, signed by a stranger", by(pages, sign.FieldExaminer), "record-other", sign.ChangedAfter)
	countersigned := by(s.report, sign.FieldBuyer)
	c, err := pdf.Open(bytes.NewReader(countersigned), int64(len(countersigned)), pdf.Limits{})
	if err != nil {
		s.fail(err)
		return
	}
	t = &suite{report: countersigned, f: c, v: c.Last()}
	s.add("a page changed behind both signatures", t.append(one(contents.Num, text("0 0 9 9 re f"))), sign.ChangedAfter)
	s.add("bytes behind both signatures", append(bytes.Clone(countersigned), "more"...), sign.AfterEnd)
	s.fail(t.err)
}
