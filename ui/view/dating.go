package view

import "wornwood/annotate"

func datingItem(sc *annotate.Scene) RailItem {
	if len(sc.Record.Evidence) > 0 {
		return RailItem{DatingScreen, "dating", Complete, ""}
	}
	return RailItem{DatingScreen, "dating", NotStarted, "no dated thing listed yet"}
}
