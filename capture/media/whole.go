package media

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
)

// maxBoxes bounds the walk through a file of boxes.
const maxBoxes = 10000

// Whole says in a sentence that a file seems cut off, as far as its format tells
// how long it should be; "" where nothing speaks against it. It reads some bytes
// of the file and none of its content.
func Whole(r io.ReaderAt, size int64, mediaType string) string {
	switch mediaType {
	case "audio/wav", "image/webp":
		return riff(r, size)
	case "application/pdf":
		return pdfEnd(r, size)
	case "image/png":
		if !tail(r, size, 12, []byte("IEND")) {
			return "it does not end as a PNG picture does; it may be cut off"
		}
	case "audio/mp4", "video/mp4", "video/quicktime", "image/heic":
		return boxesEnd(r, size)
	}
	return ""
}

// tail tells whether a word stands in the last n bytes.
func tail(r io.ReaderAt, size, n int64, word []byte) bool {
	n = min(n, size)
	b := make([]byte, n)
	if _, err := r.ReadAt(b, size-n); err != nil && err != io.EOF {
		return false
	}
	return bytes.Contains(b, word)
}

// pdfEnd looks for the end-of-file mark in the last 1024 bytes, where readers
// look for it (ISO 32000-1, annex H, note on section 7.5.5).
func pdfEnd(r io.ReaderAt, size int64) string {
	if tail(r, size, 1024, []byte("%%EOF")) {
		return ""
	}
	return "it does not end as a PDF does; it may be cut off"
}

// riff compares the length in the head with the file's.
func riff(r io.ReaderAt, size int64) string {
	var b [8]byte
	if _, err := r.ReadAt(b[:], 0); err != nil {
		return "it ends in its head; it may be cut off"
	}
	said := int64(binary.LittleEndian.Uint32(b[4:])) + 8
	// A recorder that could not go back leaves 0 or all ones there.
	if said <= 8 || said == 1<<32+7 || said <= size {
		return ""
	}
	return fmt.Sprintf("its head says %d bytes and it has %d; it may be cut off", said, size)
}

// boxesEnd walks the outermost boxes: the last has to end with the file.
func boxesEnd(r io.ReaderAt, size int64) string {
	at := int64(0)
	for range maxBoxes {
		if at == size {
			return ""
		}
		var b [16]byte
		if n, err := r.ReadAt(b[:], at); n < 8 || (err != nil && err != io.EOF) {
			return "its last part is not whole; it may be cut off"
		}
		n := int64(binary.BigEndian.Uint32(b[:]))
		switch {
		case n == 0: // to the end of the file
			return ""
		case n == 1:
			n = int64(binary.BigEndian.Uint64(b[8:]))
		}
		if n < 8 || n > size-at {
			return "one of its parts should reach beyond its end; it may be cut off"
		}
		at += n
	}
	return ""
}
