package archive

import (
	"context"
	"os"
	"strings"
	"testing"
)

// FuzzMail reads anything as a message and as a box of messages: no panic, no
// end without end, and never an error that would stop the filing of the rest.
func FuzzMail(f *testing.F) {
	for _, s := range []string{"", "From x\n\nSubject: a\n\nbody\n\nFrom y\n\n", "From x\nFrom y\nFrom z", "Content-Type: multipart/mixed; boundary=b\n\n--b\nContent-Type: application/pdf\nContent-Transfer-Encoding: base64\n\nJVBERg==\n--b--\n",
		"Content-Type: multipart/mixed\n\n", "Content-Type: message/rfc822\n\nContent-Type: message/rfc822\n\n", "Content-Type: application/pdf; name=\"=?utf-8?q?a=2Fb?=\"\nContent-Transfer-Encoding: quoted-printable\n\n=ZZ", strings.Repeat(">", 70000) + "From x\n"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		dir := t.TempDir()
		for _, name := range []string{"x.eml", "x.mbox"} {
			path := dir + "/" + name
			if err := os.WriteFile(path, data, 0o644); err != nil {
				t.Fatal(err)
			}
			out := make(chan source)
			w := walker{ctx: context.Background(), out: out, not: dir + "/none"}
			done := make(chan error, 1)
			go func() { defer close(out); done <- w.walk([]string{path}) }()
			n := 0
			for s := range out {
				if n++; strings.ContainsAny(s.name, "/\\\n\x00") || len([]rune(s.name)) > maxName {
					t.Errorf("the name %q", s.name)
				}
			}
			if err := <-done; err != nil {
				t.Errorf("%s: %v", name, err)
			}
			if n > 2*maxParts+len(data) {
				t.Errorf("%d sources of %d bytes", n, len(data))
			}
		}
	})
}
