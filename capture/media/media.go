// Package media tells what a file is by its first bytes: a paper, a picture, a
// sound or a film.
//
// Start with Sniff. It knows the types that an examination keeps beside its
// photos and nothing else; a name's ending is never believed. It promises
// nothing about the rest of a file: one cut off behind its first bytes is told
// by Whole, where the format says how long it should be.
package media

import (
	"bytes"
	"encoding/binary"
	"net/http"
	"slices"
	"strings"
	"unicode/utf8"
)

// HeadSize is how many of a file's first bytes Sniff looks at; fewer are fine
// for a shorter file.
const HeadSize = 4096

// The kinds, as record.AttachmentKinds names them.
const (
	Document = "document"
	Drawing  = "drawing"
	Sound    = "sound"
	Film     = "film"
)

// kindsOf says what a type may be attached as, the likeliest first. A container
// of films may hold a sound alone.
var kindsOf = map[string][]string{
	"application/pdf":  {Document, Drawing},
	"text/plain":       {Document},
	"image/jpeg":       {Document, Drawing},
	"image/png":        {Document, Drawing},
	"image/gif":        {Document, Drawing},
	"image/webp":       {Document, Drawing},
	"image/tiff":       {Document, Drawing},
	"image/heic":       {Document, Drawing},
	"image/svg+xml":    {Drawing, Document},
	"audio/wav":        {Sound},
	"audio/flac":       {Sound},
	"audio/mpeg":       {Sound},
	"audio/ogg":        {Sound},
	"audio/mp4":        {Sound},
	"video/ogg":        {Film, Sound},
	"video/mp4":        {Film, Sound},
	"video/quicktime":  {Film, Sound},
	"video/webm":       {Film, Sound},
	"video/x-matroska": {Film, Sound},
}

// Kinds are what a type may be attached as, the likeliest first; none for a
// type that is not taken in.
func Kinds(mediaType string) []string { return slices.Clone(kindsOf[mediaType]) }

// Types lists the types that are taken in, sorted.
func Types() []string {
	var out []string
	for t := range kindsOf {
		out = append(out, t)
	}
	slices.Sort(out)
	return out
}

// Sniff is the media type of a file that begins with these bytes; ok is false
// for what is not taken in. Patterns are after the WHATWG standard on MIME
// sniffing, which net/http carries out, and where that has none after the
// formats' own: RFC 9639 (FLAC), RFC 3533 (Ogg), ISO/IEC 14496-12 (ftyp),
// RFC 8794 (EBML), TIFF 6.0.
func Sniff(head []byte) (mediaType string, ok bool) {
	if len(head) > HeadSize {
		head = head[:HeadSize]
	}
	t := sniff(head)
	_, ok = kindsOf[t]
	return t, ok
}

func sniff(head []byte) string {
	switch {
	case len(head) < 4:
		if len(head) > 0 && isText(head) {
			return "text/plain"
		}
		return ""
	case bytes.HasPrefix(head, []byte("fLaC")):
		return "audio/flac"
	case bytes.HasPrefix(head, []byte("OggS")):
		return ogg(head)
	case bytes.HasPrefix(head, []byte{0x1A, 0x45, 0xDF, 0xA3}):
		return matroska(head)
	case bytes.HasPrefix(head, []byte("II*\x00")), bytes.HasPrefix(head, []byte("MM\x00*")):
		return "image/tiff"
	case bytes.HasPrefix(head, []byte("ID3")) || mp3Frame(head):
		return "audio/mpeg"
	}
	if t := boxes(head); t != "" {
		return t
	}
	t, _, _ := strings.Cut(http.DetectContentType(head), ";")
	switch t {
	case "audio/wave":
		return "audio/wav"
	case "text/xml", "text/plain", "text/html":
		if svg(head) {
			return "image/svg+xml"
		}
		if t == "text/plain" && isText(head) {
			return t
		}
		return "" // a page or a form: its reader may fetch or run things
	}
	return t
}

// isText tells whether bytes are UTF-8 without control characters beyond those
// of a plain text; where more of the file follows, a rune cut off by the end of
// the head is no fault.
func isText(head []byte) bool {
	cut := len(head) == HeadSize
	head = bytes.TrimPrefix(head, []byte("\xEF\xBB\xBF"))
	for len(head) > 0 {
		r, n := utf8.DecodeRune(head)
		if r == utf8.RuneError && n == 1 {
			return cut && !utf8.FullRune(head)
		}
		if r < 0x20 && !strings.ContainsRune("\t\n\v\f\r", r) || r == 0x7F {
			return false
		}
		head = head[n:]
	}
	return true
}

// svg tells whether the first element is svg, behind declarations and remarks.
func svg(head []byte) bool {
	s := strings.TrimSpace(strings.TrimPrefix(string(head), "\uFEFF"))
	for {
		switch {
		case strings.HasPrefix(s, "<?"):
			_, rest, ok := strings.Cut(s, "?>")
			if !ok {
				return false
			}
			s = strings.TrimSpace(rest)
		case strings.HasPrefix(s, "<!--"):
			_, rest, ok := strings.Cut(s, "-->")
			if !ok {
				return false
			}
			s = strings.TrimSpace(rest)
		case len(s) > 9 && strings.EqualFold(s[:9], "<!doctype"):
			_, rest, ok := strings.Cut(s, ">")
			if !ok {
				return false
			}
			s = strings.TrimSpace(rest)
		default:
			rest, ok := strings.CutPrefix(s, "<svg")
			return ok && (rest == "" || strings.ContainsAny(rest[:1], " \t\r\n>/"))
		}
	}
}

// ogg tells a film in Ogg from a sound by the first packet of the first page,
// which names the codec.
func ogg(head []byte) string {
	if len(head) < 28 || head[4] != 0 {
		return ""
	}
	at := 27 + int(head[26])
	if at > len(head) {
		return ""
	}
	packet := head[at:]
	if bytes.HasPrefix(packet, []byte("\x80theora")) || bytes.HasPrefix(packet, []byte("fishead\x00")) {
		return "video/ogg"
	}
	for _, codec := range []string{"\x01vorbis", "OpusHead", "\x7FFLAC", "Speex   "} {
		if bytes.HasPrefix(packet, []byte(codec)) {
			return "audio/ogg"
		}
	}
	return ""
}

// matroska reads the document type out of the EBML header: element 0x4282, its
// length, the word.
func matroska(head []byte) string {
	head = head[:min(len(head), 128)]
	for i := 4; i+3 < len(head); i++ {
		if head[i] != 0x42 || head[i+1] != 0x82 || head[i+2]&0x80 == 0 {
			continue
		}
		n := int(head[i+2] & 0x7F)
		word := head[i+3:]
		if n > len(word) {
			return ""
		}
		switch strings.TrimRight(string(word[:n]), "\x00") {
		case "webm":
			return "video/webm"
		case "matroska":
			return "video/x-matroska"
		}
	}
	return ""
}

// boxes reads the brands of a file of boxes. Old QuickTime files have no ftyp
// and begin with another box.
func boxes(head []byte) string {
	if len(head) < 8 {
		return ""
	}
	size, name := binary.BigEndian.Uint32(head), string(head[4:8])
	switch name {
	case "moov", "mdat", "wide", "free", "skip", "pnot":
		if size == 1 || size >= 8 {
			return "video/quicktime"
		}
		return ""
	case "ftyp":
	default:
		return ""
	}
	if size < 16 || len(head) < 12 {
		return ""
	}
	brands := []string{string(head[8:12])}
	for i := 16; i+4 <= min(int(size), len(head)); i += 4 {
		brands = append(brands, string(head[i:i+4]))
	}
	for _, b := range brands {
		if t := brandTypes[b]; t != "" {
			return t
		}
	}
	return ""
}

// brandTypes are the brands of the registration authority of ISO/IEC 14496-12
// and of its HEIF, as far as they are taken in. From memory.
var brandTypes = map[string]string{
	"M4A ": "audio/mp4", "M4B ": "audio/mp4", "M4P ": "audio/mp4",
	"qt  ": "video/quicktime",
	"isom": "video/mp4",
	"iso2": "video/mp4",
	"iso3": "video/mp4",
	"iso4": "video/mp4",
	"iso5": "video/mp4",
	"iso6": "video/mp4",
	"mp41": "video/mp4",
	"mp42": "video/mp4",
	"avc1": "video/mp4",
	"dash": "video/mp4",
	"M4V ": "video/mp4",
	"MSNV": "video/mp4",
	"3gp4": "video/mp4",
	"3gp5": "video/mp4",
	"3gp6": "video/mp4",
	"heic": "image/heic",
	"heix": "image/heic",
	"heim": "image/heic",
	"heis": "image/heic",
	"mif1": "image/heic",
}

// mp3Frame tells whether bytes begin with a frame of MPEG audio layer III, and
// the next frame stands where the first says it ends: two bytes alone would
// match too much. After the standard's section on MP3 without ID3.
func mp3Frame(head []byte) bool {
	n := mp3FrameSize(head)
	if n == 0 {
		return false
	}
	if n+4 <= len(head) {
		return mp3FrameSize(head[n:]) > 0
	}
	return false
}

// mp3FrameSize is a frame's length in bytes, 0 for what is no such frame.
func mp3FrameSize(b []byte) int {
	if len(b) < 4 || b[0] != 0xFF || b[1]&0xE0 != 0xE0 {
		return 0
	}
	version, layer := b[1]>>3&3, b[1]>>1&3 // version 3 is MPEG 1, 2 is MPEG 2, 0 is 2.5; layer 1 is III
	rate, freq := b[2]>>4, b[2]>>2&3
	if version == 1 || layer != 1 || rate == 0 || rate == 15 || freq == 3 {
		return 0
	}
	kbits := [16]int{0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320}
	hertz, samples := [3]int{44100, 48000, 32000}[freq], 144
	if version != 3 {
		kbits = [16]int{0, 8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160}
		hertz, samples = hertz/2, 72
		if version == 0 {
			hertz /= 2
		}
	}
	return samples*kbits[rate]*1000/hertz + int(b[2]>>1&1)
}
