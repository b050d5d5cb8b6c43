package view

import "wornwood/annotate"

func electronicsItem(sc *annotate.Scene) RailItem {
	if len(sc.Record.Components) > 0 {
		return RailItem{ElectronicsScreen, "electronics", Complete, ""}
	}
	return RailItem{ElectronicsScreen, "electronics", NotStarted, "no component listed yet"}
}
