package serve

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"net/http"
	"regexp"
	"strconv"
	"strings"

	"wornwood/capture/record"
	"wornwood/pdfout"
	"wornwood/pdfout/archive"
)

// reads writes a reading down before anything of the report is handed out.
func (s *Server) reads(a *archive.Archive, v *visit, what string, hashes ...string) error {
	return a.Reading(v.person.Name, what, v.address, hashes...)
}

// shown is a report whose whole hash is known, and only of such a one is a
// reading written.
func (s *Server) shown(a *archive.Archive, v *visit) (*archive.Shown, error) {
	hash := v.r.PathValue("hash")
	if !wholeHash.MatchString(hash) {
		return nil, asked(http.StatusNotFound, "%.70q is no report's SHA-256.", hash)
	}
	return a.Show(hash)
}

var wholeHash = regexp.MustCompile("^[0-9a-f]{64}$")

func (s *Server) report(v *visit) error {
	return s.shelf.use(func(a *archive.Archive) error {
		sh, err := s.shown(a, v)
		if err != nil {
			return err
		}
		if err := s.reads(a, v, archive.ReadReport, sh.Row.Hash); err != nil {
			return err
		}
		h, err := a.History(archive.Instrument{Reports: []archive.Row{sh.Row}})
		if err != nil {
			return err
		}
		data := map[string]any{"Row": sh.Row, "Verdict": sh.Verdict, "Versions": sh.Versions, "Look": &h.Looks[0], "Marks": h.Marks, "Parts": h.Parts}
		if sh.Verdict != nil && sh.Verdict.Record != nil {
			data["Claims"] = claims(sh.Verdict.Record)
		}
		return s.show(v, http.StatusOK, "report", sh.Row.Title(), data)
	})
}

// said is one fact of what the instrument is said to be.
type said struct{ Name, Value string }

func claims(r *record.Record) []said {
	i := r.Instrument
	var out []said
	for _, f := range []said{{"Maker", i.Maker}, {"Model", i.Model}, {"Edition", i.Edition}, {"Class", i.Class}, {"Year", i.Year}, {"Serial number", i.Serial}} {
		if f.Value != "" {
			out = append(out, f)
		}
	}
	return out
}

// file hands the PDF out, after seeing that it is still the one that was filed.
func (s *Server) file(v *visit) error {
	return s.shelf.use(func(a *archive.Archive) error {
		sh, err := s.shown(a, v)
		if err != nil {
			return err
		}
		if err := s.sound(a, sh.Row.Hash); err != nil {
			return err
		}
		if err := s.reads(a, v, archive.ReadFile, sh.Row.Hash); err != nil {
			return err
		}
		h := v.w.Header()
		h.Set("Content-Type", "application/pdf")
		h.Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", fileName(sh.Row)+".pdf"))
		h.Set("Content-Length", strconv.FormatInt(sh.Row.Size, 10))
		return a.CopyTo(v.w, archive.Ref{Area: archive.Files, Hash: sh.Row.Hash})
	})
}

// sound sees that a file is still what was filed.
func (s *Server) sound(a *archive.Archive, hash string) error {
	sum := sha256.New()
	if err := a.CopyTo(sum, archive.Ref{Area: archive.Files, Hash: hash}); err != nil {
		return err
	}
	if hex.EncodeToString(sum.Sum(nil)) != hash {
		return asked(http.StatusInternalServerError, "The file of this report is damaged and is not handed out. Tell the keeper to check the archive; a second copy brings it back.")
	}
	return nil
}

// fileName is a name for a file, of letters that every system takes.
func fileName(r archive.Row) string {
	name := strings.Trim(regexp.MustCompile(`[^A-Za-z0-9._-]+`).ReplaceAllString(r.Number, "-"), "-.")
	if name == "" {
		name = "report"
	}
	return name[:min(len(name), 60)] + "-" + r.Hash[:8]
}

func (s *Server) verdict(v *visit) error {
	return s.shelf.use(func(a *archive.Archive) error {
		sh, err := s.shown(a, v)
		if err != nil {
			return err
		}
		if err := s.reads(a, v, archive.ReadVerdict, sh.Row.Hash); err != nil {
			return err
		}
		b, err := pdfout.Canonical(sh.Verdict)
		if err != nil {
			return err
		}
		h := v.w.Header()
		h.Set("Content-Type", "application/json; charset=utf-8")
		h.Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", fileName(sh.Row)+"-verdict.json"))
		_, err = io.Copy(v.w, bytes.NewReader(append(b, '\n')))
		return err
	})
}

// photo gives one photo of a report as it prints it, no larger than a page of
// this site shows it.
func (s *Server) photo(v *visit) error {
	id := v.r.PathValue("id")
	return s.shelf.use(func(a *archive.Archive) error {
		sh, err := s.shown(a, v)
		if err != nil {
			return err
		}
		if !s.sessions.again(v.session, sh.Row.Hash) {
			if err := s.reads(a, v, archive.ReadHistory, sh.Row.Hash); err != nil {
				return err
			}
		}
		select {
		case s.drawing <- struct{}{}:
			defer func() { <-s.drawing }()
		case <-v.r.Context().Done():
			return nil
		}
		list, err := a.Photos(v.r.Context(), sh.Row.Hash, []string{id}, 640)
		if err != nil {
			return err
		}
		jpeg, is := list[id]
		if !is {
			return asked(http.StatusNotFound, "The report does not print this photo.")
		}
		v.w.Header().Set("Content-Type", "image/jpeg")
		v.w.Header().Set("Cache-Control", "private, max-age=600")
		_, err = v.w.Write(jpeg)
		return err
	})
}

const mostReadings = 500

// readings lists who read what, the latest first.
func (s *Server) readings(v *visit) error {
	who := strings.TrimSpace(v.r.URL.Query().Get("who"))
	of := strings.ToLower(strings.TrimSpace(v.r.URL.Query().Get("of")))
	if of != "" && !wholeHash.MatchString(of) {
		return asked(http.StatusBadRequest, "%.70q is no report's SHA-256: it takes 64 digits.", of)
	}
	return s.shelf.use(func(a *archive.Archive) error {
		var last []archive.ReadingLine // a ring would be no shorter
		all := 0
		err := a.Readings(archive.ReadingQuery{Who: who, Report: of}, func(l archive.ReadingLine) error {
			if all++; len(last) == 2*mostReadings {
				last = append(last[:0], last[mostReadings:]...)
			}
			last = append(last, l)
			return v.r.Context().Err()
		})
		if err != nil {
			return err
		}
		rows := make([]archive.ReadingLine, 0, mostReadings)
		for i := len(last) - 1; i >= 0 && len(rows) < mostReadings; i-- {
			rows = append(rows, last[i])
		}
		return s.show(v, http.StatusOK, "readings", "Readings", map[string]any{"Rows": rows, "All": all, "Who": who, "Of": of})
	})
}
