package pdfout

import (
	"errors"
	"fmt"

	"wornwood/pdfout/catalogue"
	"wornwood/pdfout/pdf"
)

// language is the language that the file says it is in, which only chooses the
// words that its pages are then held to: labels, figures and the digests at the
// foot must stand there as this program prints them. Nil after it has said that
// it has no such words.
func (c *checker) language() *catalogue.Text {
	lang, err := fileLanguage(c)
	if err == nil {
		var t *catalogue.Text
		if t, err = catalogue.For(lang); err == nil && t.Lang() == lang {
			return t
		}
		if err == nil {
			err = fmt.Errorf("it says that its language is %q, as no report does", lang)
		}
	}
	c.v.say(FiguresOther, Bad, fmt.Sprintf("The pages cannot be compared with the record, because their language is not known here: %v.", err))
	return nil
}

func fileLanguage(c *checker) (string, error) {
	f, err := pdf.Open(c.r, c.size, c.lim)
	if err != nil {
		return "", err
	}
	v := f.Last()
	root, err := v.Dict(v.Trailer()["Root"])
	if err != nil {
		return "", err
	}
	o, err := v.Resolve(root["Lang"])
	if err != nil {
		return "", err
	}
	s, ok := o.(pdf.String)
	if !ok {
		return "", errors.New("the file names none")
	}
	return pdf.PlainText(s), nil
}
