package serve

import (
	"net"
	"net/http"
	"strings"
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// What one address may ask for, and how wrong passwords slow down the next.
const (
	perSecond   = 20
	atOnce      = 100
	freeTries   = 3                // wrong passwords without a wait, from an address and for a name
	longestWait = 15 * time.Minute // for an address
	longestName = time.Minute      // for a name: nobody is locked out by others for long
	mostKept    = 20_000           // addresses and names
)

// gate holds back who asks too much or tries passwords.
type gate struct {
	now   func() time.Time
	mu    sync.Mutex
	rates map[string]*rated
	fails map[string]*failed
}

type rated struct {
	limit *rate.Limiter
	last  time.Time
}

type failed struct {
	n     int
	until time.Time
}

func newGate(now func() time.Time) *gate {
	return &gate{now: now, rates: map[string]*rated{}, fails: map[string]*failed{}}
}

// allow tells whether the address may have another request answered now.
func (g *gate) allow(address string) bool {
	g.mu.Lock()
	defer g.mu.Unlock()
	now := g.now()
	r := g.rates[address]
	if r == nil {
		if len(g.rates) >= mostKept {
			for k, x := range g.rates {
				if now.Sub(x.last) > time.Minute {
					delete(g.rates, k)
				}
			}
		}
		if len(g.rates) >= mostKept {
			return false // an attack from everywhere: nobody new, those known go on
		}
		r = &rated{limit: rate.NewLimiter(perSecond, atOnce)}
		g.rates[address] = r
	}
	r.last = now
	return r.limit.AllowN(now, 1)
}

func keys(address, name string) [2]string {
	return [2]string{"a " + address, "n " + strings.ToLower(strings.Join(strings.Fields(name), " "))}
}

// try is how long until a password is looked at again; 0 where it is now. Then
// it counts as wrong until right says otherwise, so that of many that come at
// the same moment no more are looked at than of those that come one by one.
func (g *gate) try(address, name string) time.Duration {
	g.mu.Lock()
	defer g.mu.Unlock()
	var most time.Duration
	for _, k := range keys(address, name) {
		if f := g.fails[k]; f != nil {
			most = max(most, f.until.Sub(g.now()))
		}
	}
	if most <= 0 {
		g.wrong(address, name)
	}
	return most
}

// wrong counts a wrong password; the next wait is twice the one before. g.mu is
// held.
func (g *gate) wrong(address, name string) {
	now := g.now()
	if len(g.fails) >= mostKept {
		for k, f := range g.fails {
			if now.Sub(f.until) > longestWait {
				delete(g.fails, k)
			}
		}
	}
	for i, k := range keys(address, name) {
		f := g.fails[k]
		if f == nil || now.Sub(f.until) > 4*longestWait {
			if f == nil && len(g.fails) >= mostKept {
				continue
			}
			f = &failed{}
			g.fails[k] = f
		}
		f.n++
		if f.n >= freeTries {
			bound := [2]time.Duration{longestWait, longestName}[i]
			f.until = now.Add(min(bound, time.Second<<min(f.n-freeTries, 20)))
		} else {
			f.until = now
		}
	}
}

// right forgets the wrong passwords for a name, and of those from the address the
// one that was none: who knows one name's password is not to try others' for
// nothing.
func (g *gate) right(address, name string) {
	g.mu.Lock()
	defer g.mu.Unlock()
	k := keys(address, name)
	delete(g.fails, k[1])
	if f := g.fails[k[0]]; f != nil {
		f.n, f.until = f.n-1, g.now()
	}
}

// address is where a request comes from.
func (s *Server) address(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		host = r.RemoteAddr
	}
	if s.opt.Proxied {
		if list := r.Header.Values("X-Forwarded-For"); len(list) > 0 {
			parts := strings.Split(list[len(list)-1], ",")
			if ip := net.ParseIP(strings.TrimSpace(parts[len(parts)-1])); ip != nil {
				host = ip.String()
			}
		}
	}
	// One who has an IPv6 network has 2^64 addresses of it.
	if ip := net.ParseIP(host); ip != nil && ip.To4() == nil {
		return ip.Mask(net.CIDRMask(64, 128)).String() + "/64"
	}
	return host
}
