package cli

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os/signal"
	"time"

	"golang.org/x/sys/unix"

	"wornwood/pdfout/archive/serve"
)

// parting is how long requests under way may take when the server is stopped.
const parting = 20 * time.Second

func runArchiveServe(ctx context.Context, c *call) error {
	listen := c.flags.String("listen", "127.0.0.1:8443", "answer at this `address`, HOST:PORT")
	cert := c.flags.String("cert", "", "`file` with the server's certificate and those up to its authority, PEM; without it one is made for trying")
	key := c.flags.String("key", "", "`file` with the certificate's key, PEM")
	proxied := c.flags.Bool("proxied", false, "believe X-Forwarded-For: everything comes through one server of yours in front of this one")
	trusts := c.trustFlags()
	if err := c.parse(1, 1); err != nil {
		return err
	}
	if (*cert == "") != (*key == "") {
		return &usageError{"wornwood archive serve: --cert and --key go together"}
	}
	host, _, err := net.SplitHostPort(*listen)
	if err != nil {
		return &usageError{fmt.Sprintf("wornwood archive serve: %.80q is no address to listen at; write it as 127.0.0.1:8443", *listen)}
	}
	opt, err := trusts.options(c)
	if err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(ctx, unix.SIGTERM, unix.SIGINT)
	defer stop()
	s, err := serve.New(ctx, serve.Options{Dir: c.args[0], Now: c.Now, Verify: opt, Log: c.Stderr, Proxied: *proxied})
	if err != nil {
		return err
	}
	pair, err := c.serverCertificate(*cert, *key, host)
	if err == nil {
		err = c.answer(ctx, s.HTTPServer(*listen), pair)
	}
	return errors.Join(err, s.Close())
}

// serverCertificate is the one that was named, or one for trying.
func (c *call) serverCertificate(cert, key, host string) (tls.Certificate, error) {
	if cert != "" {
		return serve.Certificate(cert, key)
	}
	pair, print, err := serve.TrialCertificate(host, c.Now())
	if err == nil {
		c.print("no certificate is given, so one was made for trying: no browser trusts it, and nobody vouches that this server is who it says\ncompare its fingerprint in the browser (SHA-256): %s\n", print)
	}
	return pair, err
}

// answer serves until it is told to stop, then lets what is under way end.
func (c *call) answer(ctx context.Context, h *http.Server, pair tls.Certificate) error {
	l, err := net.Listen("tcp", h.Addr)
	if err != nil {
		return fmt.Errorf("serve archive: %w", err)
	}
	h.TLSConfig.Certificates = []tls.Certificate{pair}
	c.print("serving at https://%s, until it is stopped (Ctrl-C)\n", l.Addr())
	end := make(chan error, 1)
	go func() { end <- h.ServeTLS(l, "", "") }()
	select {
	case err := <-end:
		return fmt.Errorf("serve archive: %w", err)
	case <-ctx.Done():
	}
	wait, cancel := context.WithTimeout(context.WithoutCancel(ctx), parting)
	defer cancel()
	if err := h.Shutdown(wait); err != nil {
		return errors.Join(fmt.Errorf("serve archive: not everything under way came to its end: %w", err), h.Close())
	}
	c.print("stopped\n")
	return nil
}
