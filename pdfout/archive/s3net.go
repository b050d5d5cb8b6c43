package archive

import (
	"context"
	"fmt"
	"net"
	"net/http"
	"time"

	"github.com/minio/minio-go/v7"
)

// How long a store is waited for: to take a connection, and to send or take a
// next byte, also after a request that has it copy a large object.
const (
	s3Dial  = 5 * time.Second
	s3Quiet = 60 * time.Second
)

// s3Transport is that of the client, but gives up on a connection on which
// nothing moves: a store that fell silent in the middle of an object would
// otherwise be waited for without end.
func s3Transport(secure bool) (*http.Transport, error) {
	t, err := minio.DefaultTransport(secure)
	if err != nil {
		return nil, fmt.Errorf("open store: %w", err)
	}
	d := net.Dialer{Timeout: s3Dial, KeepAlive: 30 * time.Second}
	t.DialContext = func(ctx context.Context, network, address string) (net.Conn, error) {
		c, err := d.DialContext(ctx, network, address)
		if err != nil {
			return nil, err
		}
		return quietConn{c, s3Quiet}, nil
	}
	t.ResponseHeaderTimeout = s3Quiet
	t.MaxIdleConnsPerHost = 4 * s3AtOnce
	return t, nil
}

// quietConn ends with an error where nothing moves for a while.
type quietConn struct {
	net.Conn
	most time.Duration
}

func (c quietConn) Read(p []byte) (int, error) {
	if err := c.SetReadDeadline(time.Now().Add(c.most)); err != nil {
		return 0, err
	}
	return c.Conn.Read(p)
}

func (c quietConn) Write(p []byte) (int, error) {
	if err := c.SetWriteDeadline(time.Now().Add(c.most)); err != nil {
		return 0, err
	}
	return c.Conn.Write(p)
}
