package servicetest

import (
	"io"
	"log"
	"math/rand/v2"
	"net"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"sync"
	"testing"
)

// Proxy passes requests on to a server and drops some of them by closing the
// connection: alternately before the server saw the request, and after it has
// done what was asked but before its answer came back. In the second case the
// client cannot know that it was done.
type Proxy struct {
	Endpoint string // to be used in place of the server's own

	mu                      sync.Mutex
	random                  *rand.Rand
	every, next             int // of the next every requests, the one counted down to 0 is dropped
	left                    int
	requests, before, after int
}

// Counts says how many requests came in, and how many of them were dropped
// before the server saw them and after it had done them.
func (p *Proxy) Counts() (requests, before, after int) {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.requests, p.before, p.after
}

type fate int

const (
	passed fate = iota
	droppedBefore
	droppedAfter
)

func newProxy(t testing.TB, every int) *Proxy {
	t.Helper()
	if every < 1 {
		t.Fatalf("a proxy drops one request in 1 or more, not in %d", every)
	}
	return &Proxy{every: every, random: rand.New(rand.NewPCG(1, uint64(every)))}
}

// fate decides about the next request: of each run of every requests one,
// anywhere in it, is dropped. The seed is fixed, so requests one after another
// meet the same fate in every run.
func (p *Proxy) fate() fate {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.requests++
	if p.left == 0 {
		p.left, p.next = p.every, p.random.IntN(p.every)
	}
	p.left--
	if p.left != p.next {
		return passed
	}
	if p.before == p.after {
		p.before++
		return droppedBefore
	}
	p.after++
	return droppedAfter
}

// Dropping starts a proxy for HTTP before target, a URL such as
// S3Server.Endpoint, that drops one request in every; it ends with the test.
// Headers, Host among them, pass unchanged, so signed requests stay valid. A
// target that is down looks like a closed connection.
func Dropping(t testing.TB, target string, every int) *Proxy {
	t.Helper()
	to, err := url.Parse(target)
	if err != nil || to.Host == "" {
		t.Fatalf("drop requests to %q: that is no URL with a host (%v)", target, err)
	}
	p := newProxy(t, every)
	silent := log.New(io.Discard, "", 0)
	pass := &httputil.ReverseProxy{
		Rewrite: func(r *httputil.ProxyRequest) {
			r.SetURL(to)
			r.Out.Host = r.In.Host
		},
		Transport:    &http.Transport{DisableCompression: true, MaxIdleConnsPerHost: 64},
		ErrorHandler: func(http.ResponseWriter, *http.Request, error) { panic(http.ErrAbortHandler) },
		ErrorLog:     silent,
	}
	s := httptest.NewUnstartedServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		switch p.fate() {
		case passed:
			pass.ServeHTTP(w, r)
			return
		case droppedAfter:
			pass.ServeHTTP(nowhere{}, r)
		}
		panic(http.ErrAbortHandler) // which closes the connection without an answer
	}))
	s.Config.ErrorLog = silent
	s.Start()
	t.Cleanup(s.Close)
	p.Endpoint = s.URL
	return p
}

// nowhere takes an answer that nobody is to see.
type nowhere struct{}

func (nowhere) Header() http.Header         { return http.Header{} }
func (nowhere) Write(b []byte) (int, error) { return len(b), nil }
func (nowhere) WriteHeader(int)             {}

// DroppingPostgres starts a proxy before the PostgreSQL server of dsn that
// closes the connection at one request in every; it ends with the test. Its
// Endpoint is the DSN through it. A request is what the client sends at once: a
// statement, a commit, or one of the about three steps of connecting.
func DroppingPostgres(t testing.TB, dsn string, every int) *Proxy {
	t.Helper()
	u, err := url.Parse(dsn)
	if err != nil || u.Port() == "" {
		t.Fatalf("drop requests to PostgreSQL: the DSN is no URL with a port (%v)", err)
	}
	p := newProxy(t, every)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	target := u.Host
	u.Host = l.Addr().String()
	p.Endpoint = u.String()
	var wg sync.WaitGroup
	open := map[*link]bool{}
	var mu sync.Mutex
	wg.Go(func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return // closed at the end of the test
			}
			s, err := net.Dial("tcp", target)
			if err != nil {
				_ = c.Close() // a server that is down looks like that
				continue
			}
			k := &link{p: p, client: c, server: s}
			mu.Lock()
			open[k] = true
			mu.Unlock()
			wg.Go(k.up)
			wg.Go(k.down)
		}
	})
	t.Cleanup(func() {
		_ = l.Close()
		mu.Lock()
		for k := range open {
			k.close()
		}
		mu.Unlock()
		wg.Wait()
	})
	return p
}

// link is one connection through the proxy.
type link struct {
	p              *Proxy
	client, server net.Conn
	mu             sync.Mutex
	swallow        bool // the next answer is dropped with the connection
}

func (k *link) close() {
	_ = k.client.Close()
	_ = k.server.Close()
}

// up passes on what the client sends.
func (k *link) up() {
	defer k.close()
	buf := make([]byte, 1<<20)
	for {
		n, err := k.client.Read(buf)
		if n > 0 {
			switch k.p.fate() {
			case droppedBefore:
				return
			case droppedAfter:
				k.mu.Lock()
				k.swallow = true
				k.mu.Unlock()
			}
			if _, err := k.server.Write(buf[:n]); err != nil {
				return
			}
		}
		if err != nil {
			return
		}
	}
}

// down passes on what the server answers. PostgreSQL answers a commit when it
// is on disk, so a swallowed answer is one to something done.
func (k *link) down() {
	defer k.close()
	buf := make([]byte, 64<<10)
	for {
		n, err := k.server.Read(buf)
		k.mu.Lock()
		swallow := k.swallow
		k.mu.Unlock()
		if swallow {
			return
		}
		if n > 0 {
			if _, err := k.client.Write(buf[:n]); err != nil {
				return
			}
		}
		if err != nil {
			return
		}
	}
}
