package sign

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/pdfout/pdf"
	"wornwood/pdfout/pdfxtest"
)

// converted lets qpdf make another kind of file of the data.
func converted(t *testing.T, data []byte, args ...string) []byte {
	t.Helper()
	to := filepath.Join(t.TempDir(), "out.pdf")
	pdfxtest.Output(t, "qpdf", append(append([]string{}, args...), pdfxtest.Write(t, "in.pdf", data), to)...)
	out, err := os.ReadFile(to)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestOtherPrograms(t *testing.T) {
	plain, signed := unsignedSample(t), signedSample(t)
	t.Run("not signed", func(t *testing.T) { expect(t, plain, NotSigned, VerifyOptions{}) })
	t.Run("drawn pages without fields", func(t *testing.T) { expect(t, drawSample(t, 1, 0, 8, 8), NotSigned, VerifyOptions{}) })
	t.Run("encrypted", func(t *testing.T) {
		expect(t, converted(t, plain, "--encrypt", "", "owner", "256", "--"), Encrypted, VerifyOptions{})
	})
	t.Run("linearised", func(t *testing.T) { expect(t, converted(t, plain, "--linearize"), Unreadable, VerifyOptions{}) })
	t.Run("object streams", func(t *testing.T) {
		r := expect(t, converted(t, plain, "--object-streams=generate"), NotSigned, VerifyOptions{})
		if r.Pages != 2 || len(r.Attachments) != 1 || string(r.Attachments[0].Data) != sampleRecord {
			t.Errorf("%d pages, attachments %+v", r.Pages, r.Attachments)
		}
	})
	t.Run("a signed report saved anew by another program", func(t *testing.T) {
		r := verifyBytes(t, converted(t, signed, "--object-streams=disable"), VerifyOptions{})
		if r.OK || len(r.Signatures) != 1 || r.Signatures[0].Intact {
			t.Errorf("%+v", r)
		}
	})
	t.Run("a signature of the older kind", func(t *testing.T) {
		data := bytes.Replace(signed, []byte("/SubFilter /ETSI.CAdES.detached"), []byte("/SubFilter /adbe.pkcs7.detached"), 1)
		expect(t, data, ForeignSignature, VerifyOptions{})
	})
	for name, data := range map[string]string{
		"empty": "", "text": "hello", "a picture": "\xFF\xD8\xFF\xE0", "only a header": "%PDF-1.7\n", "only an end": "%PDF-1.7\nstartxref\n0\n%%EOF\n",
	} {
		t.Run(name, func(t *testing.T) { expect(t, []byte(data), Unreadable, VerifyOptions{}) })
	}
}

// minimal writes objects with a table; the trailer's Root is 1.
func minimal(objects []string, trailer string) []byte {
	b := []byte("%PDF-1.7\n")
	rows := "0000000000 65535 f \n"
	for i, o := range objects {
		rows += fmt.Sprintf("%010d 00000 n \n", len(b))
		b = fmt.Appendf(b, "%d 0 obj\n%s\nendobj\n", i+1, o)
	}
	at := len(b)
	return fmt.Appendf(b, "xref\n0 %d\n%strailer\n<</Size %d /Root 1 0 R %s>>\nstartxref\n%d\n%%%%EOF\n", len(objects)+1, rows, len(objects)+1, trailer, at)
}

func TestHostile(t *testing.T) {
	const root = "<</Type /Catalog /Pages 2 0 R>>"
	bomb, err := pdf.Deflate(make([]byte, 80<<20))
	if err != nil {
		t.Fatal(err)
	}
	stream := func(dict string, data []byte) string {
		return fmt.Sprintf("<<%s /Length %d>>\nstream\n%s\nendstream", dict, len(data), data)
	}
	cases := []struct {
		name string
		code Code
		data []byte
	}{
		{"a page tree in a circle", Unreadable, minimal([]string{root, "<</Type /Pages /Kids [2 0 R]>>"}, "")},
		{"a chain of references in a circle", Unreadable, minimal([]string{root, "3 0 R", "2 0 R"}, "")},
		{"nested too deep", TooLarge, minimal([]string{root, strings.Repeat("[", 100_000)}, "")},
		{"tables in a circle", Unreadable, minimal([]string{root, "<</Type /Pages /Kids []>>"}, "/Prev 60")},
		{"a table before the file", Unreadable, minimal([]string{root}, "/Prev -5")},
		{"a stream longer than the file", Unreadable, minimal([]string{root, "<</Length 99999999999>>\nstream\nx\nendstream"}, "")},
		{"a length that is its own stream", Unreadable, minimal([]string{root, "<</Length 2 0 R>>\nstream\nx\nendstream"}, "")},
		{"a name given twice", Unreadable, minimal([]string{"<</Type /Catalog /Pages 2 0 R /Pages 3 0 R>>", "<<>>"}, "")},
		{"an attachment that unpacks without end", AttachmentBroken, minimal([]string{
			"<</Type /Catalog /Pages 2 0 R /Names <</EmbeddedFiles <</Names [(a) <</UF (a) /EF <</F 3 0 R>>>>]>>>>>>",
			"<</Type /Pages /Kids []>>", stream("/Filter /FlateDecode", bomb)}, "")},
		{"a form in a circle", Unreadable, minimal([]string{"<</Type /Catalog /Pages 2 0 R /AcroForm <</Fields [3 0 R]>>>>",
			"<</Type /Pages /Kids []>>", "<</T (a) /Kids [3 0 R]>>"}, "")},
		{"attachments in a circle", Unreadable, minimal([]string{
			"<</Type /Catalog /Pages 2 0 R /Names <</EmbeddedFiles 3 0 R>>>>", "<</Type /Pages /Kids []>>", "<</Kids [3 0 R]>>"}, "")},
		{"two files under one name", AttachmentBroken, minimal([]string{
			"<</Type /Catalog /Pages 2 0 R /Names <</EmbeddedFiles <</Names [(a) <</UF (a) /EF <</F 3 0 R /UF 4 0 R>>>>]>>>>>>",
			"<</Type /Pages /Kids []>>", stream("", []byte("one")), stream("", []byte("two"))}, "")},
		{"layers", ActiveContent, minimal([]string{"<</Type /Catalog /Pages 2 0 R /OCProperties <<>>>>", "<</Type /Pages /Kids []>>"}, "")},
		{"a form of another kind", ActiveContent, minimal([]string{"<</Type /Catalog /Pages 2 0 R /AcroForm <</Fields [] /XFA (x)>>>>", "<</Type /Pages /Kids []>>"}, "")},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) { expect(t, c.data, c.code, VerifyOptions{}) })
	}
	t.Run("too many objects", func(t *testing.T) {
		expect(t, minimal([]string{root, "<</Type /Pages /Kids []>>", "1", "2", "3"}, ""), TooLarge, VerifyOptions{Limits: pdf.Limits{Objects: 4}})
	})
	t.Run("too many revisions", func(t *testing.T) {
		data := minimal([]string{root, "<</Type /Pages /Kids []>>"}, "")
		for range 40 {
			data = appendBare(data)
		}
		expect(t, data, TooLarge, VerifyOptions{})
	})
	t.Run("huge", func(t *testing.T) {
		r, err := Verify(t.Context(), endless{}, 1<<40, VerifyOptions{})
		if err != nil || r.OK || !r.Has(TooLarge) {
			t.Errorf("%+v, %v", r, err)
		}
	})
	t.Run("objects inside each other", func(t *testing.T) {
		expect(t, nested(2000), TooLarge, VerifyOptions{Limits: pdf.Limits{Work: 4 << 20}})
	})
}

// appendBare appends a revision without objects.
func appendBare(data []byte) []byte {
	prev := bytes.LastIndex(data, []byte("\nxref\n")) + 1
	at := len(data)
	return fmt.Appendf(data, "xref\n0 1\n0000000000 65535 f \ntrailer\n<</Size 3 /Root 1 0 R /Prev %d>>\nstartxref\n%d\n%%%%EOF\n", prev, at)
}

// nested makes n objects of which each contains all later ones in a string.
func nested(n int) []byte {
	b := []byte("%PDF-1.7\n1 0 obj\n<</Type /Catalog /Pages 2 0 R>>\nendobj\n2 0 obj\n<</Type /Pages /Kids []>>\nendobj\n")
	rows := fmt.Sprintf("0000000000 65535 f \n%010d 00000 n \n%010d 00000 n \n", 9, bytes.Index(b, []byte("2 0 obj")))
	for i := range n {
		rows += fmt.Sprintf("%010d 00000 n \n", len(b))
		b = fmt.Appendf(b, "%d 0 obj (", i+3)
	}
	b = append(b, strings.Repeat(")\nendobj\n", n)...)
	at := len(b)
	return fmt.Appendf(b, "xref\n0 %d\n%strailer\n<</Size %d /Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n", n+3, rows, n+3, at)
}

// endless is a file of zeros of any size.
type endless struct{}

func (endless) ReadAt(b []byte, _ int64) (int, error) { clear(b); return len(b), nil }

// A reader that fails is not a verdict on the report.
func TestReaderFails(t *testing.T) {
	data := signedSample(t)
	for _, after := range []int64{0, 100, 20_000, int64(len(data)) - 200} {
		r, err := Verify(t.Context(), failing{bytes.NewReader(data), after}, int64(len(data)), VerifyOptions{})
		if err == nil {
			t.Errorf("reading fails from byte %d on, and the verdict is %+v", after, r.Findings)
		}
	}
}

type failing struct {
	r    io.ReaderAt
	from int64
}

func (f failing) ReadAt(b []byte, off int64) (int, error) {
	if off+int64(len(b)) > f.from {
		return 0, io.ErrClosedPipe
	}
	return f.r.ReadAt(b, off)
}
