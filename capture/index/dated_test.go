package index

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"wornwood/capture/record"
)

// large is an index of so many instruments with three examinations each, of
// which one is issued and one lists a battery.
func large(t testing.TB, instruments int) *Index {
	t.Helper()
	x, err := Create(filepath.Join(t.TempDir(), "index.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { x.Close() })
	n := 0
	err = x.Fill(context.Background(), func() (*Item, error) {
		if n == 3*instruments {
			return nil, nil
		}
		it := item(n, record.Instrument{Class: "thinline", Maker: "Halden & Rowe", Model: "Larkfoot Standard", Year: "1974", Serial: fmt.Sprint(40000 + n/3)})
		switch n % 3 {
		case 0:
			it.Issued = &record.Issued{Number: fmt.Sprintf("CR-2026-%04d", n), At: day}
			it.Record.Examination.Purpose = record.BeforeDispatch
		case 1:
			it.Record.Components = []record.Component{{ID: "b", Kind: record.BatteryComponent, Place: "preamplifier", Battery: &record.Battery{Type: "9 V block", Fitted: "2026-01-10", Every: 12}}}
		case 2:
			it.Record.Examination.NextDue = "2027-04-01"
		}
		n++
		return &it, nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// A bench of 2000 instruments is listed, and what is dated on it, in under a
// tenth of a second each. The bound of the test is three times that, because
// other tests run beside it; the benchmarks say what it takes.
func TestListingIsQuick(t *testing.T) {
	x := large(t, 2000)
	for name, list := range map[string]func() (int, error){
		"instruments": func() (int, error) { r, err := x.Instruments(); return len(r), err },
		"dated":       func() (int, error) { d, err := x.Dated(); return len(d) / 3, err },
	} {
		best := time.Hour
		for range 5 {
			start := time.Now()
			n, err := list()
			if err != nil || n != 2000 {
				t.Fatalf("%s: %d, %v", name, n, err)
			}
			best = min(best, time.Since(start))
		}
		t.Logf("%s: %v", name, best)
		if best > 300*time.Millisecond {
			t.Errorf("%s take %v", name, best)
		}
	}
}

func BenchmarkInstruments2000(b *testing.B) {
	x := large(b, 2000)
	for b.Loop() {
		if _, err := x.Instruments(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDated2000(b *testing.B) {
	x := large(b, 2000)
	for b.Loop() {
		if _, err := x.Dated(); err != nil {
			b.Fatal(err)
		}
	}
}

// An index of the version before is not opened, so it is filled again.
func TestOlderVersionIsMadeAnew(t *testing.T) {
	p := sound(t)
	statement(`UPDATE about SET value = '1' WHERE key = 'version'`)(t, p)
	if _, err := Open(p); err == nil {
		t.Error("an index of version 1 was opened")
	}
	if _, err := os.Stat(p); err != nil {
		t.Error("opening removed it")
	}
}
