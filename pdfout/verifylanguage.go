package pdfout

import (
	"errors"
	"fmt"
	"io"

	"wornwood/pdfout/catalogue"
	"wornwood/pdfout/pdf"
)

// language is the language that the file says it is in. It only chooses the
// words that the pages are then held to: labels, figures and the digests at the
// foot must stand there as this program prints them in it. Nil after it has
// said that there are no such words.
func (c *checker) language() *catalogue.Text {
	t, err := textOf(c.r, c.size, c.lim)
	if err != nil {
		c.v.say(FiguresOther, Bad, fmt.Sprintf("The pages cannot be compared with the record: %v.", err))
		return nil
	}
	return t
}

// textOf is the text in the language that a report names.
func textOf(r io.ReaderAt, size int64, lim pdf.Limits) (*catalogue.Text, error) {
	f, err := pdf.Open(r, size, lim)
	if err != nil {
		return nil, err
	}
	v := f.Last()
	root, err := v.Dict(v.Trailer()["Root"])
	if err != nil {
		return nil, err
	}
	o, err := v.Resolve(root["Lang"])
	if err != nil {
		return nil, err
	}
	s, ok := o.(pdf.String)
	if !ok {
		return nil, errors.New("the file names no language")
	}
	lang := pdf.PlainText(s)
	t, err := catalogue.For(lang)
	if err == nil && t.Lang() != lang {
		err = fmt.Errorf("the file says that its language is %.40q, as no report does", lang)
	}
	return t, err
}
