package suggest

import (
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"
)

func TestDev(t *testing.T) {
	cons := []float64{0.06, 0.10, 0.15, 0.25, 0.40}
	if s := os.Getenv("CON"); s != "" {
		v, _ := strconv.ParseFloat(s, 64)
		cons = []float64{v}
	}
	sens := 0.5
	if s := os.Getenv("SENS"); s != "" {
		sens, _ = strconv.ParseFloat(s, 64)
	}
	for i, s := range surfaces {
		if f := os.Getenv("SURF"); f != "" && !strings.Contains(s.name, f) {
			continue
		}
		base, ring := s.picture(t)
		line := fmt.Sprintf("%-36s", s.name)
		for _, c := range cons {
			img, marks := paintMarks(t, base, ring, c, uint64(i+1))
			res, err := Find(t.Context(), img, ring, Options{Sensitivity: sens})
			if err != nil {
				t.Fatal(err)
			}
			a, b := match(Check, res.Ghosts, marks), match(Ding, res.Ghosts, marks)
			line += fmt.Sprintf(" | %.2f %.2f(%d) , %.2f %.2f(%d)", a.recall(), a.precision(), a.ghosts-a.right, b.recall(), b.precision(), b.ghosts-b.right)
			if d := os.Getenv("WORNWOOD_PICTURES"); d != "" {
				overlay(t, fmt.Sprintf("%s/%02d-%.2f.png", d, i, c), img, res.Ghosts, marks)
			}
			if c == cons[len(cons)-1] {
				line += " " + fmt.Sprint(res.Grainy)
			}
		}
		fmt.Println(line)
	}
}
