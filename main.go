// Command wornwood documents old instruments: photos, marks, a grade, a signed
// condition report. Without arguments it opens the window; its verbs do the
// same work without one.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"

	"fyne.io/fyne/v2/app"

	"wornwood/ui"
	"wornwood/ui/cli"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	env := cli.Env{Stdin: os.Stdin, Stdout: os.Stdout, Stderr: os.Stderr, Getenv: os.Getenv}
	if ui.HasWindow {
		env.Window = func(ctx context.Context, dir string) error {
			return ui.Run(ctx, app.NewWithID("wornwood"), dir)
		}
	}
	code := cli.Run(ctx, os.Args[1:], env)
	stop()
	os.Exit(code)
}
