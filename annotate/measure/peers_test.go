package measure

import (
	"bytes"
	"encoding/json"
	"os/exec"
	"testing"
)

// question is what testdata/peers.py is asked.
type question struct {
	Homographies []homographyProblem `json:"homographies,omitempty"`
	Views        []viewProblem       `json:"views,omitempty"`
	Rings        [][][2]float64      `json:"rings,omitempty"`
}

type homographyProblem struct {
	Plane  [][2]float64 `json:"plane"`
	Photo  [][2]float64 `json:"photo"`
	Method string       `json:"method,omitempty"`
	Limit  float64      `json:"limit,omitempty"`
}

type viewProblem struct {
	F      float64      `json:"f"`
	Cx     float64      `json:"cx"`
	Cy     float64      `json:"cy"`
	K1     float64      `json:"k1"`
	Rvec   [3]float64   `json:"rvec"`
	Tvec   [3]float64   `json:"tvec"`
	Points [][3]float64 `json:"points"`
}

type answer struct {
	OpenCV       string `json:"opencv"`
	Homographies []struct {
		H    [9]float64 `json:"h"`
		Used []int      `json:"used"`
	} `json:"homographies"`
	Pixels [][][2]float64 `json:"pixels"`
	Areas  []float64      `json:"areas"`
	Valid  []bool         `json:"valid"`
}

// askPeers runs OpenCV and Shapely, as Debian packs them, on all problems at once.
func askPeers(t *testing.T, q question) answer {
	t.Helper()
	in, err := json.Marshal(q)
	if err != nil {
		t.Fatal(err)
	}
	// Debian's own interpreter: the packages are its.
	cmd := exec.Command("/usr/bin/python3", "testdata/peers.py")
	cmd.Stdin = bytes.NewReader(in)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	data, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v: %s\nInstall them: apt-get install --no-install-recommends python3-opencv python3-shapely", err, errs.String())
	}
	var a answer
	if err := json.Unmarshal(data, &a); err != nil {
		t.Fatal(err)
	}
	return a
}
