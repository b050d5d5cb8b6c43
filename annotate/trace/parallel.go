package trace

import (
	"runtime"
	"sync"
)

// parallel calls work for stretches that together are 0 to n, one a core, and
// returns when all are done. Results do not depend on the number of cores as
// long as work writes only to its own stretch.
func parallel(n int, work func(from, to int)) {
	cores := min(runtime.GOMAXPROCS(0), n)
	var wait sync.WaitGroup
	for i := range cores {
		wait.Add(1)
		go func() {
			defer wait.Done()
			work(i*n/cores, (i+1)*n/cores)
		}()
	}
	wait.Wait()
}
