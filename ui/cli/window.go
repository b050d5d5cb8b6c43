package cli

import (
	"context"
	"errors"
)

var windowVerb = &verb{name: "window", args: "[BENCH]",
	short: "open the window (also what 'wornwood' alone does)", run: runWindow}

func runWindow(ctx context.Context, c *call) error {
	if err := c.parse(0, 1); err != nil {
		return err
	}
	if c.Window == nil {
		return errors.New("this build has the verbs only; build with 'make build' for the window")
	}
	if c.Getenv("DISPLAY") == "" && c.Getenv("WAYLAND_DISPLAY") == "" {
		return errors.New("there is no display here (DISPLAY is not set); the verbs work without one, 'wornwood help' lists them")
	}
	dir := ""
	if len(c.args) == 1 {
		dir = c.args[0]
	}
	return c.Window(ctx, dir)
}
