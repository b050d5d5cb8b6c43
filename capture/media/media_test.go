package media

import (
	"bytes"
	"encoding/binary"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"wornwood/capture/record"
)

// box is a box of ISO/IEC 14496-12 with some content.
func box(name string, content ...byte) []byte {
	b := binary.BigEndian.AppendUint32(nil, uint32(8+len(content)))
	return append(append(b, name...), content...)
}

func ftyp(brand string, more ...string) []byte {
	return box("ftyp", []byte(brand+"\x00\x00\x02\x00"+strings.Join(more, ""))...)
}

// ebml is the head of a Matroska file (RFC 8794, RFC 9559): versions, lengths,
// document type.
func ebml(docType string) []byte {
	inner := []byte{0x42, 0x86, 0x81, 1, 0x42, 0xF7, 0x81, 1, 0x42, 0xF2, 0x81, 4, 0x42, 0xF3, 0x81, 8, 0x42, 0x82, 0x80 | byte(len(docType))}
	inner = append(inner, docType...)
	inner = append(inner, 0x42, 0x87, 0x81, 4, 0x42, 0x85, 0x81, 2)
	b := append([]byte{0x1A, 0x45, 0xDF, 0xA3, 0x80 | byte(len(inner))}, inner...)
	return append(b, 0x18, 0x53, 0x80, 0x67, 0x80)
}

// oggPage is a first page with one packet (RFC 3533).
func oggPage(packet string) []byte {
	b := append([]byte("OggS\x00\x02"), make([]byte, 20)...)
	b = append(b, 1, byte(len(packet)))
	return append(b, packet...)
}

// mp3 is frames of MPEG 1 layer III at 128 kbit/s and 44100 Hz, 417 bytes each.
func mp3(frames int) []byte {
	frame := append([]byte{0xFF, 0xFB, 0x90, 0x00}, make([]byte, 413)...)
	return bytes.Repeat(frame, frames)
}

func wav(samples int) []byte {
	b := append([]byte("RIFF"), binary.LittleEndian.AppendUint32(nil, uint32(36+2*samples))...)
	b = append(b, "WAVEfmt "...)
	for _, v := range []any{uint32(16), uint16(1), uint16(1), uint32(44100), uint32(88200), uint16(2), uint16(16)} {
		b, _ = binary.Append(b, binary.LittleEndian, v)
	}
	b = append(append(b, "data"...), binary.LittleEndian.AppendUint32(nil, uint32(2*samples))...)
	return append(b, make([]byte, 2*samples)...)
}

func flac() []byte {
	info := []byte{0x10, 0, 0x10, 0, 0, 0, 14, 0, 0, 16, 0x0A, 0xC4, 0x42, 0xF0, 0, 0, 0, 0}
	return append(append([]byte("fLaC\x80\x00\x00\x22"), info...), make([]byte, 16)...)
}

// samples are beginnings of files as their formats define them. judge is what
// file(1) calls the same; "" where its version differs from ours for a reason
// that stands beside it.
var samples = []struct {
	name, want, judge string
	head              []byte
}{
	{"pdf", "application/pdf", "application/pdf", []byte("%PDF-1.7\n%\xE2\xE3\xCF\xD3\n1 0 obj\n<<>>\nendobj\n")},
	{"txt", "text/plain", "text/plain", []byte("Sold this day to Mr Merrow one guitar, No. 41873, for the sum of 180 crowns.\nA. Tarry\n")},
	{"utf8", "text/plain", "text/plain", []byte("Für Herrn Østergård: eine Gitarre, Nr. 41873\n")},
	{"bom", "text/plain", "text/plain", []byte("\xEF\xBB\xBFletter of 1974\n")},
	{"jpg", "image/jpeg", "image/jpeg", []byte("\xFF\xD8\xFF\xE0\x00\x10JFIF\x00\x01\x01\x00\x00\x01\x00\x01\x00\x00")},
	{"png", "image/png", "image/png", []byte("\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00\x00\x01\x00\x00\x00\x01\x08\x06\x00\x00\x00\x1f\x15\xc4\x89")},
	{"gif", "image/gif", "image/gif", []byte("GIF89a\x01\x00\x01\x00\x80\x00\x00")},
	{"webp", "image/webp", "image/webp", []byte("RIFF\x24\x00\x00\x00WEBPVP8 \x18\x00\x00\x000\x01\x00\x9d\x01*")},
	{"tif", "image/tiff", "image/tiff", []byte("II*\x00\x08\x00\x00\x00\x00\x00\x00\x00\x00\x00")},
	{"tif2", "image/tiff", "image/tiff", []byte("MM\x00*\x00\x00\x00\x08\x00\x00\x00\x00\x00\x00")},
	{"heic", "image/heic", "image/heic", ftyp("heic", "mif1", "heic")},
	{"svg", "image/svg+xml", "image/svg+xml", []byte("<?xml version=\"1.0\"?>\n<!-- wiring -->\n<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"9\" height=\"9\"></svg>\n")},
	{"svg2", "image/svg+xml", "image/svg+xml", []byte("<svg xmlns=\"http://www.w3.org/2000/svg\"/>\n")},
	{"wav", "audio/wav", "audio/x-wav", wav(100)},
	{"flac", "audio/flac", "audio/flac", flac()},
	{"mp3", "audio/mpeg", "audio/mpeg", mp3(4)},
	{"id3", "audio/mpeg", "audio/mpeg", append([]byte("ID3\x03\x00\x00\x00\x00\x00\x0A"+strings.Repeat("\x00", 10)), mp3(3)...)},
	{"ogg", "audio/ogg", "audio/ogg", oggPage("\x01vorbis\x00\x00\x00\x00\x02\x44\xAC\x00\x00\x00\x00\x00\x00\x00\x77\x01\x00\x00\x00\x00\x00\xB8\x01")},
	{"opus", "audio/ogg", "audio/ogg", oggPage("OpusHead\x01\x02\x38\x01\x80\xBB\x00\x00\x00\x00\x00")},
	{"ogv", "video/ogg", "video/ogg", oggPage("\x80theora\x03\x02\x01\x00\x14\x00\x0F\x00\x01\x40\x00\x00\xF0")},
	{"m4a", "audio/mp4", "audio/x-m4a", ftyp("M4A ", "M4A ", "mp42", "isom")},
	{"mp4", "video/mp4", "video/mp4", ftyp("isom", "isom", "iso2", "avc1", "mp41")},
	{"mp42", "video/mp4", "video/mp4", ftyp("mp42", "mp42", "isom")},
	{"mov", "video/quicktime", "video/quicktime", ftyp("qt  ", "qt  ")},
	{"mov2", "video/quicktime", "video/quicktime", append(box("moov", box("mvhd", make([]byte, 100)...)...), box("mdat")...)},
	{"webm", "video/webm", "video/webm", ebml("webm")},
	{"mkv", "video/x-matroska", "video/x-matroska", ebml("matroska")},
}

func TestSniff(t *testing.T) {
	for _, c := range samples {
		got, ok := Sniff(c.head)
		if !ok || got != c.want {
			t.Errorf("%s: %q %v, want %q", c.name, got, ok, c.want)
		}
		for _, k := range Kinds(got) {
			if !slices.Contains(record.AttachmentKinds(), k) {
				t.Errorf("%s: %q is no kind of attachment", c.name, k)
			}
		}
		if len(Kinds(got)) == 0 || !slices.Contains(Types(), got) {
			t.Errorf("%s: %q has no kind", c.name, got)
		}
	}
}

// The same files judged by file(1), Debian's libmagic, whose table of patterns
// is independent of the WHATWG standard that ours follows.
func TestSniffAgainstFile(t *testing.T) {
	dir := t.TempDir()
	for _, c := range samples {
		p := filepath.Join(dir, c.name)
		if err := os.WriteFile(p, c.head, 0o644); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command("file", "--brief", "--mime-type", p).Output()
		if err != nil {
			t.Fatalf("file(1) is needed: %v", err)
		}
		if got := strings.TrimSpace(string(out)); got != c.judge {
			t.Errorf("%s: file says %s, expected %s beside our %s", c.name, got, c.judge, c.want)
		}
	}
}

func TestSniffRefuses(t *testing.T) {
	for name, head := range map[string][]byte{
		"nothing":              nil,
		"program":              []byte("\x7FELF\x02\x01\x01\x00\x00\x00\x00\x00\x00\x00\x00\x00"),
		"windows program":      []byte("MZ\x90\x00\x03\x00\x00\x00\x04\x00\x00\x00"),
		"archive":              []byte("PK\x03\x04\x14\x00\x00\x00\x08\x00"),
		"gzip":                 []byte("\x1F\x8B\x08\x00\x00\x00\x00\x00"),
		"web page":             []byte("<!DOCTYPE html><html><script>x()</script></html>"),
		"web page behind text": []byte("<html><body>hello"),
		"other xml":            []byte("<?xml version=\"1.0\"?><invoice/>"),
		"svgx":                 []byte("<?xml version=\"1.0\"?><svgx/>"),
		"zeros":                make([]byte, 4096),
		"text with a zero":     []byte("a letter\x00 and more"),
		"text of another code": []byte("Fenstra\xDFe 12, M\xFCnchen"),
		"jpeg cut short":       []byte("\xFF\xD8"),
		"flac cut short":       []byte("fLa\xF0"),
		"riff of nothing":      []byte("RIFF\x10\x00\x00\x00CDXA        "),
		"ogg cut short":        []byte("OggS\x00\x02\x00\x00"),
		"ogg of something":     oggPage("\x01another codec"),
		"ogg later page":       append([]byte("OggS\x00\x00"), make([]byte, 40)...)[:27],
		"matroska of nothing":  ebml("wardrobe"),
		"matroska cut short":   ebml("matroska")[:20],
		"ftyp of nothing":      ftyp("cake", "tart"),
		"ftyp cut short":       ftyp("mp42")[:10],
		"ftyp too small":       []byte("\x00\x00\x00\x08ftypmp42\x00\x00\x00\x00"),
		"two bytes of an mp3":  append([]byte{0xFF, 0xFB, 0x90, 0x00}, make([]byte, 600)...),
		"avi":                  []byte("RIFF\x10\x00\x00\x00AVI LIST    "),
	} {
		if got, ok := Sniff(head); ok {
			t.Errorf("%s is taken for %s", name, got)
		}
	}
}

// A long text whose head ends within a letter is a text.
func TestSniffLongText(t *testing.T) {
	long := []byte(strings.Repeat("Østergård ", 1000))
	for n := HeadSize - 12; n <= HeadSize+12; n++ {
		if got, ok := Sniff(append(make([]byte, 0, n), long[:n]...)); ok != (n >= HeadSize || utf8.Valid(long[:n])) || ok && got != "text/plain" {
			t.Errorf("the first %d bytes: %q %v", n, got, ok)
		}
	}
}

// Any bytes give an answer, without a panic; a type that is taken in has a kind.
func FuzzSniff(f *testing.F) {
	for _, c := range samples {
		f.Add(c.head)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		got, ok := Sniff(b)
		if ok != (len(Kinds(got)) > 0) {
			t.Errorf("%q: %v", got, ok)
		}
		for _, mt := range Types() {
			_ = Whole(bytes.NewReader(b), int64(len(b)), mt)
		}
	})
}

func TestWhole(t *testing.T) {
	film := append(append(ftyp("isom", "isom"), box("moov", make([]byte, 40)...)...), box("mdat", make([]byte, 900)...)...)
	pdf := []byte("%PDF-1.7\n" + strings.Repeat("x", 3000) + "\nstartxref\n9\n%%EOF\n")
	png := append(append([]byte("\x89PNG\r\n\x1a\n"), make([]byte, 100)...), []byte("\x00\x00\x00\x00IEND\xaeB`\x82")...)
	toEnd := append(append(ftyp("isom", "isom"), 0, 0, 0, 0), "mdat and so on to the end"...)
	large := append(append(ftyp("isom", "isom"), 0, 0, 0, 1), append([]byte("mdat"), 0, 0, 0, 0, 0, 0, 0, 24, 1, 2, 3, 4, 5, 6, 7, 8)...)
	hostile := append(append(ftyp("isom", "isom"), 0, 0, 0, 1), append([]byte("mdat"), 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF)...)
	for _, c := range []struct {
		name, mediaType string
		data            []byte
		whole           bool
	}{
		{"wav", "audio/wav", wav(100), true}, {"wav cut", "audio/wav", wav(100)[:150], false}, {"wav with more behind", "audio/wav", append(wav(100), 1, 2, 3), true},
		{"wav, length never written", "audio/wav", append([]byte("RIFF\xFF\xFF\xFF\xFFWAVE"), make([]byte, 99)...), true}, {"wav of nothing", "audio/wav", []byte("RIFF"), false},
		{"pdf", "application/pdf", pdf, true}, {"pdf cut", "application/pdf", pdf[:2000], false},
		{"png", "image/png", png, true}, {"png cut", "image/png", png[:90], false},
		{"film", "video/mp4", film, true}, {"film cut", "video/mp4", film[:500], false}, {"film cut in a head", "video/mp4", film[:20+48+4], false},
		{"film to the end", "video/mp4", toEnd, true}, {"large box", "video/mp4", large, true}, {"hostile box", "video/mp4", hostile, false},
		{"text says nothing", "text/plain", []byte("x"), true},
	} {
		if got := Whole(bytes.NewReader(c.data), int64(len(c.data)), c.mediaType); (got == "") != c.whole {
			t.Errorf("%s: %q", c.name, got)
		}
	}
}

// A film cut anywhere behind its head is told, unless a part ends just there.
func TestCutFilmIsTold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		film := ftyp("isom", "isom")
		ends := map[int]bool{len(film): true}
		for range rapid.IntRange(1, 5).Draw(t, "boxes") {
			film = append(film, box("mdat", make([]byte, rapid.IntRange(0, 200).Draw(t, "size"))...)...)
			ends[len(film)] = true
		}
		n := rapid.IntRange(21, len(film)).Draw(t, "cut")
		got := Whole(bytes.NewReader(film[:n]), int64(n), "video/mp4")
		if (got == "") != ends[n] {
			t.Errorf("cut at %d of %d: %q", n, len(film), got)
		}
	})
}
