package icc

import (
	"bytes"
	"strings"
)

// Remarks of Of.
const (
	// NoProfile says that sRGB was assumed for want of anything said.
	NoProfile = "the file does not say what its colours are; they are read as sRGB"
	uncertain = "the file says that its colours are not sRGB, but not what they are; they are read as sRGB"
)

// Of finds the profile of a JPEG or PNG file. There always is one: where the
// file says nothing, or something that cannot be converted, it is sRGB, and the
// remarks say so in a sentence each.
func Of(data []byte) (*Profile, []string) {
	if bytes.HasPrefix(data, []byte(pngSignature)) {
		if p, remarks := ofPNG(data); p != nil {
			return p, remarks
		}
		return SRGB(), []string{NoProfile}
	}
	raw, err := FromJPEG(data)
	if raw != nil || err != nil {
		return parsed(raw, err)
	}
	switch exifColour(data) {
	case spaceSRGB:
		return SRGB(), nil
	case spaceAdobe:
		p, _ := withPrimaries("Adobe RGB", adobeRGB, power(adobeGamma))
		return p, []string{"the file carries no colour profile; its metadata say Adobe RGB, and so it is read"}
	case spaceUnknown:
		return SRGB(), []string{uncertain}
	}
	return SRGB(), []string{NoProfile}
}

// parsed is the profile, or sRGB with what was wrong.
func parsed(raw []byte, err error) (*Profile, []string) {
	if err == nil {
		var p *Profile
		if p, err = Parse(raw); err == nil {
			return p, nil
		}
	}
	return SRGB(), []string{sentence(err)}
}

// sentence ends what an error says about a file in the one way all do.
func sentence(err error) string {
	s := err.Error()
	if !strings.Contains(s, "sRGB") {
		s += "; colours are read as sRGB and the reading says so"
	}
	return s
}
