package servicetest

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"net"
	"os"
	"os/exec"
	"runtime"
	"strconv"
	"sync"
	"syscall"
	"time"
)

// process is a server that this test process started.
type process struct {
	cmd  *exec.Cmd
	done chan struct{} // closed once it has ended and was waited for
}

type startRequest struct {
	cmd *exec.Cmd
	err chan error
}

// starter starts every server from one thread that lives as long as the
// process: the kernel's signal at a parent's death is sent when the thread
// that started the child ends, not the process.
var starter = sync.OnceValue(func() chan startRequest {
	ch := make(chan startRequest)
	go func() {
		runtime.LockOSThread()
		for r := range ch {
			r.err <- r.cmd.Start()
		}
	}()
	return ch
})

// startProcess starts cmd so that it gets the signal atDeath when this process
// ends in whatever way. Its output goes to the file log.
func startProcess(cmd *exec.Cmd, log string, who *account, atDeath syscall.Signal) (*process, error) {
	out, err := os.OpenFile(log, os.O_CREATE|os.O_WRONLY|os.O_APPEND, 0o600)
	if err != nil {
		return nil, err
	}
	defer out.Close()
	cmd.Stdout, cmd.Stderr = out, out
	cmd.SysProcAttr = attributes(who, atDeath)
	r := startRequest{cmd, make(chan error)}
	starter() <- r
	if err := <-r.err; err != nil {
		return nil, err
	}
	p := &process{cmd: cmd, done: make(chan struct{})}
	go func() {
		_ = cmd.Wait() // how it ended is in its log
		close(p.done)
	}()
	return p, nil
}

// end sends sig and waits until the process is gone, for at most a minute.
func (p *process) end(sig syscall.Signal) error {
	if err := p.cmd.Process.Signal(sig); err != nil && !errors.Is(err, os.ErrProcessDone) {
		return err
	}
	select {
	case <-p.done:
		return nil
	case <-time.After(time.Minute):
		return fmt.Errorf("%s did not end within a minute of %s", p.cmd.Path, sig)
	}
}

func (p *process) running() bool {
	select {
	case <-p.done:
		return false
	default:
		return true
	}
}

// ended holds the write ends of the pipes of tempDir: the kernel closes them
// when this process ends.
var ended struct {
	sync.Mutex
	pipes []*os.File
}

// sweep waits for the end of its input and then removes a folder; the server
// whose folder it is may still be ending, so it tries for ten seconds.
const sweep = `read -r _; n=0
while [ -d "$1" ] && [ $n -lt 50 ]; do rm -rf -- "$1" 2>/dev/null || sleep 0.2; n=$((n+1)); done`

// tempDir makes a folder that is removed when this process ends, even when it
// is killed: a small shell waits for that.
func tempDir(pattern string, who *account) (string, error) {
	dir, err := os.MkdirTemp("", pattern)
	if err != nil {
		return "", err
	}
	if who != nil {
		if err := os.Chown(dir, int(who.uid), int(who.gid)); err != nil {
			return "", errors.Join(err, os.RemoveAll(dir))
		}
	}
	r, w, err := os.Pipe()
	if err != nil {
		return "", errors.Join(err, os.RemoveAll(dir))
	}
	defer r.Close()
	cmd := exec.Command("/bin/sh", "-c", sweep, "sh", dir)
	cmd.Stdin = r
	// Its own session: what is typed at the terminal does not reach it.
	cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true}
	if err := cmd.Start(); err != nil {
		return "", errors.Join(err, w.Close(), os.RemoveAll(dir))
	}
	ended.Lock()
	ended.pipes = append(ended.pipes, w)
	ended.Unlock()
	return dir, nil
}

// freePort finds a loopback port that nobody listens on, below those that
// systems hand out by themselves, so that it is still free at a restart.
func freePort() (string, error) {
	for range 200 {
		l, err := net.Listen("tcp", "127.0.0.1:"+strconv.Itoa(20000+rand.IntN(12000)))
		if err != nil {
			continue
		}
		_, port, err := net.SplitHostPort(l.Addr().String())
		return port, errors.Join(err, l.Close())
	}
	return "", errors.New("no free port between 20000 and 32000 on 127.0.0.1")
}

// tail is the end of a log, for a message about what went wrong.
func tail(log string) string {
	b, err := os.ReadFile(log)
	if err != nil {
		return err.Error()
	}
	return string(b[max(0, len(b)-2000):])
}

// attributes starts a server as who (nil is whoever runs the test), in a group
// of its own, with the signal atDeath when the test process ends.
func attributes(who *account, atDeath syscall.Signal) *syscall.SysProcAttr {
	a := &syscall.SysProcAttr{Setpgid: true, Pdeathsig: atDeath}
	if who != nil {
		a.Credential = &syscall.Credential{Uid: who.uid, Gid: who.gid}
	}
	return a
}
