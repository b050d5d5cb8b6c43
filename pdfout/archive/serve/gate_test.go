package serve

import (
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

// Of passwords that come at the same moment no more are looked at than of those
// that come one by one, from one address and for one name from many.
func TestPasswordsAtTheSameMoment(t *testing.T) {
	for what, address := range map[string]func(int) string{
		"one address":    func(int) string { return "192.0.2.7" },
		"many addresses": func(i int) string { return fmt.Sprintf("192.0.2.%d", i) },
	} {
		g := newGate(time.Now)
		var looked atomic.Int32
		var wait sync.WaitGroup
		for i := range 200 {
			wait.Go(func() {
				if g.try(address(i), "The reader") == 0 {
					looked.Add(1)
				}
			})
		}
		wait.Wait()
		if n := int(looked.Load()); n != freeTries {
			t.Errorf("%s: %d of 200 passwords were looked at, not %d", what, n, freeTries)
		}
	}
}

// Who comes in with the right password again and again is not slowed down, and
// does not wash away others' wrong ones from the address.
func TestRightPasswords(t *testing.T) {
	now := time.Now()
	g := newGate(func() time.Time { return now })
	for i := range 50 {
		if d := g.try("192.0.2.7", "The reader"); d != 0 {
			t.Fatalf("coming in for the %d. time takes %v", i+1, d)
		}
		g.right("192.0.2.7", "The reader")
	}
	for range freeTries {
		g.try("192.0.2.7", "another")
	}
	if g.try("192.0.2.7", "The reader") == 0 {
		t.Error("wrong passwords from the address were washed away")
	}
}
