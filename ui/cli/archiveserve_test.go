package cli_test

import (
	"bufio"
	"bytes"
	"context"
	"crypto/tls"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/people"
	"wornwood/ui/cli"
)

// The verb serves over TLS with a certificate for trying, says so, names its
// address, and ends well when it is told to stop.
func TestArchiveServe(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "archive")
	if err := archive.Make(dir, "Fen Street", false, time.Now()); err != nil {
		t.Fatal(err)
	}
	list, err := people.Load(dir)
	if err == nil {
		err = list.Add("A. Thorne", people.Keeper, "seven brown kettles", time.Now())
	}
	if err == nil {
		err = list.Save()
	}
	if err != nil {
		t.Fatal(err)
	}
	out, in := io.Pipe()
	var log bytes.Buffer
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	end := make(chan int, 1)
	go func() {
		code := cli.Run(ctx, []string{"archive", "serve", dir, "--listen", "127.0.0.1:0"}, cli.Env{Stdin: strings.NewReader(""), Stdout: in, Stderr: &log, Getenv: os.Getenv})
		_ = in.Close() // never fails
		end <- code
	}()
	lines := bufio.NewScanner(out)
	var said []string
	at := ""
	for at == "" && lines.Scan() {
		said = append(said, lines.Text())
		if _, rest, is := strings.Cut(lines.Text(), "serving at "); is {
			at, _, _ = strings.Cut(rest, ",")
		}
	}
	if at == "" || !strings.Contains(strings.Join(said, "\n"), "made for trying: no browser trusts it") {
		stop()
		t.Fatalf("it said %q, and in the log %s", said, log.String())
	}
	go func() { _, _ = io.Copy(io.Discard, out) }()
	c := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}}, Timeout: 20 * time.Second}
	r, err := c.Get(at + "/")
	if err != nil {
		t.Fatal(err)
	}
	page, err := io.ReadAll(r.Body)
	if err != nil || r.StatusCode != http.StatusOK || r.Request.URL.Path != "/login" || !bytes.Contains(page, []byte(`type="password"`)) {
		t.Errorf("%v, %d at %s:\n%s", err, r.StatusCode, r.Request.URL, page)
	}
	if err := r.Body.Close(); err != nil {
		t.Error(err)
	}
	if r, err := c.Get("http" + strings.TrimPrefix(at, "https") + "/login"); err == nil {
		if r.StatusCode == http.StatusOK {
			t.Error("it answers without TLS")
		}
		if err := r.Body.Close(); err != nil {
			t.Error(err)
		}
	}
	c.CloseIdleConnections()
	stop()
	select {
	case code := <-end:
		if code != cli.OK {
			t.Errorf("exit code %d, log %s", code, log.String())
		}
	case <-time.After(30 * time.Second):
		t.Fatal("it does not stop")
	}
	if !strings.Contains(log.String(), `GET "/login" 200`) {
		t.Errorf("the log of requests:\n%s", log.String())
	}
}
