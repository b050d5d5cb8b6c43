package view

import "wornwood/annotate"

func setupItem(sc *annotate.Scene) RailItem {
	if len(sc.Record.Readings) > 0 || sc.Record.Setup != nil {
		return RailItem{SetupScreen, "setup", Complete, ""}
	}
	return RailItem{SetupScreen, "setup", NotStarted, "nothing read yet"}
}
