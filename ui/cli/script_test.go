package cli_test

import (
	"bytes"
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"wornwood/capture/bench"
	"wornwood/pdfout"
	"wornwood/pdfout/sign"
	"wornwood/ui/cli"
)

// clock is the scripts' time: every process of a script starts here, so that
// numbers and dates in reports are known.
var clock = time.Date(2026, 11, 14, 16, 5, 0, 0, time.FixedZone("", 3600))

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"wornwood": func() {
			os.Exit(cli.Run(context.Background(), os.Args[1:], cli.Env{Stdin: os.Stdin, Stdout: os.Stdout, Stderr: os.Stderr,
				Getenv: os.Getenv, Now: func() time.Time { return clock }}))
		},
		"hold": hold,
	})
}

// hold opens a bench, says so, and keeps it until it is killed.
func hold() {
	b, err := bench.Open(os.Args[1], bench.Options{})
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	defer b.Close()
	if err := os.WriteFile(os.Args[2], []byte("held"), 0o644); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	stop := make(chan os.Signal, 1)
	signal.Notify(stop, os.Interrupt)
	<-stop
}

func TestScripts(t *testing.T) {
	outside := newOutside(t)
	testscript.Run(t, testscript.Params{
		Dir: "testdata",
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"photo":     photo,
			"take":      take,
			"demophoto": demoPhoto,
			"flip":      flip,
			"append":    appendTo,
			"exits":     exits,
			"await":     await,
			"keep":      keep,
			"hides":     hides,
			"buyer":     buyer,

			"copyfolder": copyFolder,
			"filedfile":  filedFile,
			"years":      years,
			"hashof":     hashOf,

			"bucket":   services{t}.bucket,
			"database": services{t}.database,

			"certificate": outside.certificate,
			"revoke":      outside.revoke,
			"zbar":        zbar,
			"desktop":     desktop,
		},
		Setup: func(e *testscript.Env) error {
			e.Setenv("XDG_CONFIG_HOME", e.WorkDir+"/config")
			e.Setenv("HOME", e.WorkDir)
			e.Setenv("STAMPS", outside.stamps)
			// No key ring but the one that a script brings up.
			e.Setenv("DBUS_SESSION_BUS_ADDRESS", "disabled:")
			return nil
		},
	})
}

// photo FILE SEED writes a small JPEG that differs for each seed.
func photo(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: photo FILE SEED")
	}
	seed, err := strconv.Atoi(args[1])
	ts.Check(err)
	img := image.NewRGBA(image.Rect(0, 0, 640, 480))
	for y := range 480 {
		for x := range 640 {
			img.SetRGBA(x, y, color.RGBA{uint8(x/3 + seed), uint8(y / 2), uint8((x ^ y) + 7*seed), 255})
		}
	}
	f, err := os.Create(ts.MkAbs(args[0]))
	ts.Check(err)
	ts.Check(jpeg.Encode(f, img, nil))
	ts.Check(f.Close())
}

// demophoto FILE copies a photo of the demonstration, whose marks and card are
// known to the pixel.
func demoPhoto(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: demophoto FILE")
	}
	b, err := os.ReadFile(filepath.Join("..", "..", "testdata", "demo", filepath.Base(args[0])))
	ts.Check(err)
	ts.Check(os.MkdirAll(filepath.Dir(ts.MkAbs(args[0])), 0o755))
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), b, 0o644))
}

// flip FILE OFFSET changes one bit of the byte at an offset; negative offsets
// count from the end.
func flip(ts *testscript.TestScript, neg bool, args []string) {
	b, err := os.ReadFile(ts.MkAbs(args[0]))
	ts.Check(err)
	at, err := strconv.Atoi(args[1])
	ts.Check(err)
	if at < 0 {
		at += len(b)
	}
	b[at] ^= 1
	ts.Check(os.Chmod(ts.MkAbs(args[0]), 0o644))
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), b, 0o644))
}

// append FILE TEXT adds text behind a file's end.
func appendTo(ts *testscript.TestScript, neg bool, args []string) {
	ts.Check(os.Chmod(ts.MkAbs(args[0]), 0o644))
	f, err := os.OpenFile(ts.MkAbs(args[0]), os.O_APPEND|os.O_WRONLY, 0)
	ts.Check(err)
	_, err = f.WriteString(args[1])
	ts.Check(errors.Join(err, f.Close()))
}

// buyer REPORT FILE writes a copy of a report with a buyer's countersignature.
func buyer(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: buyer REPORT FILE")
	}
	id, err := sign.NewKey(sign.Subject{Name: "B. Atherley"}, clock, rand.Reader)
	ts.Check(err)
	in, err := os.ReadFile(ts.MkAbs(args[0]))
	ts.Check(err)
	var out bytes.Buffer
	ts.Check(pdfout.Countersign(context.Background(), bytes.NewReader(in), int64(len(in)), &out, id, clock))
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), out.Bytes(), 0o644))
}

// exits CODE COMMAND... runs a command that must end with just this code.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	err := ts.Exec(args[1], args[2:]...)
	code := 0
	var status interface{ ExitCode() int }
	if errors.As(err, &status) {
		code = status.ExitCode()
	} else if err != nil {
		ts.Fatalf("%v", err)
	}
	if strconv.Itoa(code) != args[0] {
		ts.Fatalf("exit code %d, want %s", code, args[0])
	}
}

// keep NAME LINE puts a line of the last command's output into a variable.
func keep(ts *testscript.TestScript, neg bool, args []string) {
	n, err := strconv.Atoi(args[1])
	ts.Check(err)
	ts.Setenv(args[0], strings.Split(ts.ReadFile("stdout"), "\n")[n-1])
}

// hides FOLDER TEXT fails when any file below a folder holds a text.
func hides(ts *testscript.TestScript, neg bool, args []string) {
	files := 0
	ts.Check(filepath.WalkDir(ts.MkAbs(args[0]), func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		files++
		b, err := os.ReadFile(p)
		if err == nil && bytes.Contains(b, []byte(args[1])) {
			err = fmt.Errorf("%s holds %q", p, args[1])
		}
		return err
	}))
	if files == 0 {
		ts.Fatalf("%s holds no file", args[0])
	}
}

// await FILE waits until a background command has written a file.
func await(ts *testscript.TestScript, neg bool, args []string) {
	for range 6000 {
		if _, err := os.Stat(ts.MkAbs(args[0])); err == nil {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	ts.Fatalf("%s did not appear", args[0])
}
