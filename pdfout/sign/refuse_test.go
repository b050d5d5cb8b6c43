package sign

import (
	"bytes"
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"wornwood/pdfout/pdf"
)

func TestSignRefuses(t *testing.T) {
	plain, signed, both := unsignedSample(t), signedSample(t), countersigned(t)
	id := key(t, examinerKey)
	but := func(o SignOptions, change func(*SignOptions)) SignOptions { change(&o); return o }
	cases := []struct {
		name string
		data []byte
		id   *Identity
		opt  SignOptions
		want string
	}{
		{"no key", plain, nil, examinerOptions(), "there is no signing key"},
		{"no time", plain, id, but(examinerOptions(), func(o *SignOptions) { o.Now = time.Time{} }), "time of signing is missing"},
		{"no such field", plain, id, but(examinerOptions(), func(o *SignOptions) { o.Field = "Witness" }), "no such signature field"},
		{"signed already", signed, id, examinerOptions(), "signed already"},
		{"countersigned already", both, id, buyerOptions(), "signed already"},
		{"the buyer first", plain, id, buyerOptions(), "examiner has not signed"},
		{"lines without a font", plain, id, but(examinerOptions(), func(o *SignOptions) { o.Font = nil }), "needs a font"},
		{"a font that is none", plain, id, but(examinerOptions(), func(o *SignOptions) { o.Font = []byte("no font") }), "read the font"},
		{"no PDF", []byte("hello"), id, examinerOptions(), "not a well-formed PDF"},
		{"bytes after the end", append(bytes.Clone(plain), "x"...), id, examinerOptions(), "altered"},
		{"altered", flip(t, signed, func(d pdf.Dict) bool { return d["Subtype"] == pdf.Name("Image") }), key(t, buyerKey), buyerOptions(), "altered"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			var out bytes.Buffer
			err := Sign(t.Context(), bytes.NewReader(c.data), int64(len(c.data)), &out, c.id, c.opt)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v", err)
			}
		})
	}
	t.Run("a chain too long for its place", func(t *testing.T) {
		long := *id
		for len(long.Chain) < 60 {
			long.Chain = append(long.Chain, id.Certificate)
		}
		var out bytes.Buffer
		err := Sign(t.Context(), bytes.NewReader(plain), int64(len(plain)), &out, &long, examinerOptions())
		if err == nil || !strings.Contains(err.Error(), "fewer certificates") {
			t.Errorf("got %v", err)
		}
	})
	wantSignError(t, plain, id, but(examinerOptions(), func(o *SignOptions) { o.Field = "Witness" }), ErrNoField)
	wantSignError(t, signed, id, examinerOptions(), ErrSigned)
}

func TestVerifyIsCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	data := signedSample(t)
	if r, err := Verify(ctx, bytes.NewReader(data), int64(len(data)), VerifyOptions{}); !errors.Is(err, context.Canceled) {
		t.Errorf("got %+v, %v", r, err)
	}
}
