package archive

import (
	"bufio"
	"bytes"
	"encoding/base64"
	"errors"
	"fmt"
	"io"
	"mime"
	"mime/multipart"
	"mime/quotedprintable"
	"net/mail"
	"os"
	"path/filepath"
	"strings"
)

// Bounds of mail. A part is held in memory while it is read; of large ones, one
// at a time.
const (
	maxPart    = 128 << 20 // bytes of one attachment
	largePart  = 4 << 20   // bytes of one that has to wait for others
	maxMessage = 512 << 20 // bytes of one message as it stands in the file
	maxHeader  = 1 << 20   // bytes of the lines before a message's text
	maxParts   = 2000      // of one message, in all
	maxNesting = 8         // of parts within parts, and mail within mail
)

// mail sends the PDFs attached to the messages of a file.
func (w *walker) mail(path, name string, box bool) error {
	f, err := os.Open(path)
	if err != nil {
		return w.failed(name, err)
	}
	defer f.Close()
	if !box {
		return w.message(f, name)
	}
	b := &boxReader{r: bufio.NewReaderSize(f, 64<<10)}
	for n := 1; ; n++ {
		m, err := b.next()
		if err == io.EOF {
			return nil
		}
		where := fmt.Sprintf("%s, message %d", name, n)
		if err != nil {
			return w.failed(where, err)
		}
		if err := w.message(m, where); err != nil {
			return err
		}
		if _, err := io.Copy(io.Discard, m); err != nil {
			return w.failed(where, err)
		}
	}
}

// message sends the PDFs of one message.
func (w *walker) message(r io.Reader, name string) error {
	in := &io.LimitedReader{R: r, N: maxMessage + 1}
	m := &mailing{w: w, name: name}
	err := m.read(in, 0)
	if in.N == 0 && err == nil {
		err = fmt.Errorf("more than %d MiB: %w", maxMessage>>20, ErrTooLarge)
	}
	var cannot *unreadableMail
	if errors.As(err, &cannot) || errors.Is(err, ErrTooLarge) {
		return w.failed(name, err)
	}
	if err == nil && m.found == 0 {
		w.passed++
	}
	return err
}

// mailing is one message being read.
type mailing struct {
	w            *walker
	name         string
	parts, found int
}

// unreadableMail is the mail's own fault, not that of filing.
type unreadableMail struct{ err error }

func (e *unreadableMail) Error() string { return "the mail is damaged: " + e.err.Error() }
func (e *unreadableMail) Unwrap() error { return e.err }

func (m *mailing) read(r io.Reader, depth int) error {
	// The reader of headers knows no bound of its own.
	head := &io.LimitedReader{R: r, N: maxHeader}
	msg, err := mail.ReadMessage(bufio.NewReader(head))
	if head.N <= 0 { // it takes a header that is cut off for a whole one
		err = fmt.Errorf("its header is longer than %d KiB", maxHeader>>10)
	}
	if err != nil {
		return &unreadableMail{err}
	}
	head.N = maxMessage + 1 // whoever opened the message bounds the rest
	h := msg.Header
	return m.part(msg.Body, h.Get("Content-Type"), h.Get("Content-Disposition"), h.Get("Content-Transfer-Encoding"), depth)
}

// part reads one part of a message, or the message's own body.
func (m *mailing) part(body io.Reader, kind, disposition, encoding string, depth int) error {
	if m.parts++; m.parts > maxParts || depth > maxNesting {
		return &unreadableMail{fmt.Errorf("it has more than %d parts, or they are nested deeper than %d", maxParts, maxNesting)}
	}
	media, params, err := mime.ParseMediaType(kind)
	if err != nil {
		media, params = strings.ToLower(strings.TrimSpace(strings.Split(kind, ";")[0])), nil
	}
	switch {
	case strings.HasPrefix(media, "multipart/"):
		return m.multipart(body, params["boundary"], depth)
	case media == "message/rfc822":
		return m.read(decoded(body, encoding), depth+1)
	}
	file := fileName(disposition, params)
	if media != "application/pdf" && !strings.EqualFold(filepath.Ext(file), ".pdf") {
		return nil
	}
	data, err := m.w.hold(decoded(body, encoding))
	if err != nil && !errors.Is(err, ErrTooLarge) {
		if m.w.ctx.Err() != nil {
			return err
		}
		return &unreadableMail{err}
	}
	m.found++
	name := fmt.Sprintf("%s, %s", m.name, file)
	if file == "" {
		name = fmt.Sprintf("%s, attachment %d", m.name, m.found)
	}
	if err != nil {
		return m.w.failed(clean(name, maxName), err)
	}
	err = m.w.send(source{clean(name, maxName), func() (io.ReadCloser, error) { return data, nil }})
	if err != nil {
		data.Close()
	}
	return err
}

func (m *mailing) multipart(body io.Reader, boundary string, depth int) error {
	if boundary == "" {
		return &unreadableMail{errors.New("a part has parts without a boundary between them")}
	}
	r := multipart.NewReader(body, boundary)
	for {
		p, err := r.NextRawPart()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return &unreadableMail{err}
		}
		if err := m.part(p, p.Header.Get("Content-Type"), p.Header.Get("Content-Disposition"), p.Header.Get("Content-Transfer-Encoding"), depth+1); err != nil {
			return err
		}
	}
}

// fileName is the name of an attachment, without folders.
func fileName(disposition string, kind map[string]string) string {
	name := kind["name"]
	if _, p, err := mime.ParseMediaType(disposition); err == nil && p["filename"] != "" {
		name = p["filename"]
	}
	if d, err := new(mime.WordDecoder).DecodeHeader(name); err == nil {
		name = d
	}
	name = name[strings.LastIndexAny(name, `/\`)+1:]
	return clean(name, maxName)
}

func decoded(r io.Reader, encoding string) io.Reader {
	switch strings.ToLower(strings.TrimSpace(encoding)) {
	case "base64":
		return base64.NewDecoder(base64.StdEncoding, r)
	case "quoted-printable":
		return quotedprintable.NewReader(r)
	}
	return r
}

// boxReader takes a file of messages apart: each begins with a line "From "
// behind an empty line; within one, a line of "From " has a ">" before it
// (RFC 4155 and, for the ">", common practice).
type boxReader struct {
	r       *bufio.Reader
	started bool
	over    bool
}

// next is the next message; the one before must have been read to its end.
func (b *boxReader) next() (io.Reader, error) {
	if b.over {
		return nil, io.EOF
	}
	if !b.started {
		b.started = true
		line, err := b.line()
		if err != nil && len(line) == 0 {
			return nil, io.EOF
		}
		if !bytes.HasPrefix(line, []byte("From ")) {
			return nil, errors.New("it does not begin with a line of “From ”, so it is no box of mail")
		}
	}
	return &boxed{b: b, whole: true}, nil
}

// line is the next line, or a piece of a very long one.
func (b *boxReader) line() ([]byte, error) {
	line, err := b.r.ReadSlice('\n')
	if errors.Is(err, bufio.ErrBufferFull) {
		err = nil
	}
	return line, err
}

// boxed reads one message of a box.
type boxed struct {
	b     *boxReader
	rest  []byte
	blank bool // the line before was empty
	whole bool // the line before was not cut
	end   bool
}

func (m *boxed) Read(p []byte) (int, error) {
	for len(m.rest) == 0 {
		if m.end {
			return 0, io.EOF
		}
		begins := m.whole || m.blank
		line, err := m.b.line()
		if err != nil && err != io.EOF {
			return 0, err
		}
		if err == io.EOF {
			m.end, m.b.over = true, true
		}
		if begins && m.blank && bytes.HasPrefix(line, []byte("From ")) {
			m.end, m.b.over = true, false
			return 0, io.EOF
		}
		m.blank = begins && len(bytes.TrimRight(line, "\r\n")) == 0
		m.whole = bytes.HasSuffix(line, []byte("\n"))
		if quoted := bytes.TrimLeft(line, ">"); begins && len(quoted) < len(line) && bytes.HasPrefix(quoted, []byte("From ")) {
			line = line[1:]
		}
		m.rest = bytes.Clone(line)
	}
	n := copy(p, m.rest)
	m.rest = m.rest[n:]
	return n, nil
}
