package render

// demoScale is the demo instrument's scale length in mm.
const demoScale = 648

// Views lists the photos of the demo instrument in the order in which they
// were taken, on the morning of 14 November 2026.
func Views() []View {
	const w, h = 3000, 2000 // the views with the most on them
	const n, m = 2400, 1600
	day := lighting{from: 125, high: 42, sheen: 1.3, sheenFrom: 215, sheenHigh: 74}
	v := []View{
		{File: "front.jpg", Name: "front", Side: "front", Width: w, High: h, x: 4, y: 562, across: 600, far: 1450, roll: 86.5, tiltX: 2, tiltY: -3,
			card: cardPlace{x: 120, y: 330, turn: 93}, light: day, exposure: 1.17, Orientation: 1},
		{File: "back.jpg", Name: "back", Side: "back", Width: w, High: h, x: -2, y: 566, across: 600, far: 1450, roll: -91.5, tiltX: -1.5, tiltY: -2,
			card: cardPlace{x: -84, y: 336, turn: -88}, light: day, exposure: 1.17, Orientation: 1},
		{File: "board.jpg", Name: "board", Side: "front", Width: m, High: n, height: boardTop, x: 2, y: 255, across: 560, far: 1300, roll: 3, tiltX: 2, tiltY: -3,
			card: cardPlace{x: 95, y: 210, turn: 92}, light: day, exposure: 1.35, Orientation: 6},
		{File: "head-front.jpg", Name: "head front", Side: "front", Width: m, High: n, height: headTop, x: 2, y: -62, across: 300, far: 800, roll: -2, tiltX: 2, tiltY: -4,
			card: cardPlace{x: 66, y: 42, turn: 91}, light: day, exposure: 1.17, Orientation: 8},
		{File: "head-back.jpg", Name: "head back", Side: "back", Width: n, High: m, height: 32.6, x: 0, y: -62, across: 300, far: 800, roll: 88, tiltX: 2, tiltY: 3,
			card: cardPlace{x: -67, y: 31, turn: 89}, light: day, exposure: 1.17, Orientation: 1},
		{File: "whole.jpg", Name: "whole", Side: "front", Width: h, High: w, x: 12, y: 300, across: 1050, far: 2300, roll: 1.2, tiltX: 1, tiltY: -2,
			card: cardPlace{x: 118, y: 290, turn: 4}, light: day, exposure: 1.17, Orientation: 6},
		{File: "whole-back.jpg", Name: "whole back", Side: "back", Width: h, High: w, x: -12, y: 300, across: 1050, far: 2300, roll: -1.4, tiltX: -1, tiltY: -2,
			card: cardPlace{x: -118, y: 290, turn: -3}, light: day, exposure: 1.17, Orientation: 8},
		{File: "neck-back.jpg", Name: "neck back", Side: "back", Width: n, High: m, height: 34, x: 0, y: 215, across: 600, far: 1400, roll: 92, tiltX: 1, tiltY: 2,
			card: cardPlace{x: 88, y: 190, turn: 90}, light: day, exposure: 1.17, Orientation: 1},
		{File: "bass-side.jpg", Name: "bass side", Side: "bass side", Width: n, High: m, x: 0, y: 560, across: 520, far: 1500, roll: 90, tiltX: 1, tiltY: 3,
			card: cardPlace{x: -75, y: 560, turn: 90}, light: day, exposure: 1.23, Orientation: 1},
		{File: "treble-side.jpg", Name: "treble side", Side: "treble side", Width: n, High: m, x: 0, y: 570, across: 520, far: 1500, roll: -90, tiltX: -1, tiltY: 3,
			card: cardPlace{x: 75, y: 570, turn: -90}, light: day, exposure: 1.23, Orientation: 1},
		{File: "close-chip.jpg", Name: "close-up", Side: "front", Width: n, High: m, x: -152, y: 410, across: 190, far: 700, roll: 6, tiltX: -6, tiltY: 4,
			card: cardPlace{x: -196, y: 412, turn: 84}, light: day, exposure: 1.40, Orientation: 1},
		{File: "close-checks.jpg", Name: "close-up", Side: "front", Width: n, High: m, x: 6, y: 706, across: 212, far: 700, roll: 3, tiltX: 5, tiltY: -9,
			card: cardPlace{x: -54, y: 713, turn: 2, on: true}, light: day, exposure: 1.17, Orientation: 1},
		{File: "close-buckle.jpg", Name: "close-up", Side: "back", Width: n, High: m, x: 36, y: 606, across: 205, far: 700, roll: -4, tiltX: -5, tiltY: -8,
			card: cardPlace{x: 85, y: 606, turn: 91, on: true}, light: day, exposure: 1.17, Orientation: 3},
		{File: "close-wear.jpg", Name: "close-up", Side: "front", Width: n, High: m, x: -97, y: 666, across: 204, far: 700, roll: 94, tiltX: 5, tiltY: -7,
			card: cardPlace{x: -64, y: 664, turn: 88, on: true}, light: day, exposure: 1.29, Orientation: 1},
	}
	for i := range v {
		v[i].Exif = shotData(&v[i], clock[i])
	}
	return v
}

// clock is when each photo was taken: hour and minute after ten, second, and
// hundredths of it.
var clock = [...][2]string{
	{"10:10:18", "42"}, {"10:11:29", "07"}, {"10:12:41", "63"}, {"10:14:55", "18"}, {"10:16:20", "90"}, {"10:20:07", "35"}, {"10:22:48", "71"},
	{"10:25:33", "04"}, {"10:28:12", "56"}, {"10:30:59", "29"}, {"10:34:16", "83"}, {"10:37:02", "12"}, {"10:40:38", "47"}, {"10:43:25", "66"},
}

// shotData is what the camera wrote. Camera and lens are invented. Three files
// give an examiner something to remark on: one names an editor, one was saved
// again the next day, and one has lost its metadata.
func shotData(v *View, at [2]string) *Exif {
	e := &Exif{Make: "Ostrander", Model: "Field 24", Serial: "F24-0071836", Lens: "Ostrander 85 mm f/2.8",
		Original: "2026:11:14 " + at[0], SubSec: at[1], Offset: "+01:00",
		Exposure: [2]uint32{1, 60}, Aperture: [2]uint32{8, 1}, Focal: 85, ISO: 200}
	switch v.Name {
	case "whole", "whole back":
		e.Lens, e.Focal, e.Exposure = "Ostrander 50 mm f/2", 50, [2]uint32{1, 80}
	case "close-up":
		e.Exposure, e.Aperture = [2]uint32{1, 25}, [2]uint32{11, 1}
	}
	switch v.File {
	case "close-buckle.jpg":
		e.Software = "Darkbench 3"
	case "treble-side.jpg":
		e.Changed = "2026:11:15 09:20:11"
	case "close-wear.jpg":
		return nil
	}
	return e
}
