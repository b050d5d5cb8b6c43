package archive

import (
	"bytes"
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/json"
	"maps"
	"math"
	"slices"
	"time"
)

// quarterDays is within how many days every night's share together is all.
const quarterDays = 90

const day = 24 * time.Hour

// survey is what a first look at the log finds.
type survey struct {
	files int   // that the log names and that are to be there
	bytes int64 // of reports among them
	// gone gives, of everything that was ever removed, the last line that says so;
	// filings before it are void.
	gone map[[sha256.Size]byte]int64
	// read are the lines whose files were read, and when; in order, not touching
	// one another. What stands in none was read when it was filed.
	read        []readSpan
	first, last time.Time // of the quarter's shares so far
}

type readSpan struct {
	from, to int64
	at       time.Time
}

// glance is what can be told of a line at a glance. In lines without a body no
// text can hold the quotation marks, so nothing has to be decoded.
func glance(line []byte) (e Entry) {
	if hasBody(line) {
		_ = json.Unmarshal(line, &e) // what cannot be read is told by the check itself
		return e
	}
	member := func(name string) []byte {
		_, rest, _ := bytes.Cut(line, []byte(`"`+name+`":`))
		rest = bytes.TrimPrefix(rest, []byte(`"`))
		if i := bytes.IndexAny(rest, `",}`); i >= 0 {
			rest = rest[:i]
		}
		return rest
	}
	e.Kind, e.File = EventKind(member("kind")), string(member("file"))
	for _, c := range member("size") {
		if c < '0' || c > '9' {
			break
		}
		e.Size = e.Size*10 + int64(c-'0')
	}
	if t, err := time.Parse(time.RFC3339, string(member("time"))); err == nil {
		e.Time = t
	}
	return e
}

// survey goes along the log once without judging it.
func (a *Archive) survey(ctx context.Context) (survey, error) {
	s := survey{gone: map[[sha256.Size]byte]int64{}}
	n := int64(0)
	err := a.store.Log(MainLog, 0, func(line []byte, _ int64) error {
		n++
		e := glance(line)
		switch e.Kind {
		case Filed:
			s.files, s.bytes = s.files+3, s.bytes+e.Size
		case Rejected:
			s.files, s.bytes = s.files+2, s.bytes+e.Size
		case Removed:
			if key, ok := keyOf(e.File); ok {
				s.gone[key] = n
			}
			if s.files -= 3; bodyOf[removedBody](e).Tombstone.Area == Refused {
				s.files++
			}
		case Checked:
			s.checked(e, n)
		}
		return ctx.Err()
	})
	return s, err
}

// checked takes in a line that tells what was read.
func (s *survey) checked(e Entry, n int64) {
	b := bodyOf[checkedBody](e)
	if b.Quarter {
		if s.first.IsZero() {
			s.first = e.Time
		}
		s.last = e.Time
	}
	for _, r := range b.Read {
		if r[0] >= 1 && r[0] <= r[1] && r[1] < n {
			s.cover(readSpan{r[0], r[1], e.Time})
		}
	}
}

// cover puts a span over those there were.
func (s *survey) cover(in readSpan) {
	var out []readSpan
	for _, r := range s.read {
		if r.to < in.from || r.from > in.to {
			out = append(out, r)
			continue
		}
		if r.from < in.from {
			out = append(out, readSpan{r.from, in.from - 1, r.at})
		}
		if r.to > in.to {
			out = append(out, readSpan{in.to + 1, r.to, r.at})
		}
	}
	out = append(out, in)
	slices.SortFunc(out, func(a, b readSpan) int { return cmp.Compare(a.from, b.from) })
	s.read = out
}

// unread is since when the files of a line are unread: since they were read last,
// or filed. A time that is still to come is no time: the clock was wrong then.
func (s *survey) unread(n int64, filed, now time.Time) time.Time {
	i, _ := slices.BinarySearchFunc(s.read, n, func(r readSpan, n int64) int { return cmp.Compare(r.to, n) })
	at := filed
	if i < len(s.read) && s.read[i].from <= n {
		at = s.read[i].at
	}
	if at.After(now) {
		return time.Time{}
	}
	return at
}

// quarter is tonight's share: everything unread since before a day, some of those
// unread since that day, and what would otherwise be unread for longer than a
// quarter by the time of the next night.
type quarter struct {
	s       *survey
	now     time.Time
	before  int64 // day
	some    int   // of that day
	late    time.Time
	bytes   int64 // about, of reports
	skipped bool  // a report was passed over since the last one that was read
	oldest  time.Time
}

func dayNumber(t time.Time) int64 { return int64(math.Floor(float64(t.Unix()) / day.Seconds())) }

// quarter chooses tonight's share. It follows from log and clock alone.
func (a *Archive) quarter(ctx context.Context, s *survey, now time.Time) (*quarter, error) {
	type load struct {
		n     int
		bytes int64
	}
	days := map[int64]load{}
	all, n := load{}, int64(0)
	err := a.store.Log(MainLog, 0, func(line []byte, _ int64) error {
		n++
		e := glance(line)
		if !s.counts(e, n) {
			return ctx.Err()
		}
		d := dayNumber(s.unread(n, e.Time, now))
		l := days[d]
		days[d] = load{l.n + 1, l.bytes + e.Size}
		all = load{all.n + 1, all.bytes + e.Size}
		return ctx.Err()
	})
	if err != nil {
		return nil, err
	}
	step := day // until the next night
	if !s.last.IsZero() {
		step = now.Sub(s.last)
	}
	share := min(1, max(0, step.Hours()/24/quarterDays))
	q := &quarter{s: s, now: now, before: math.MinInt64, late: now.Add(max(step, day) - quarterDays*day)}
	left := int(math.Ceil(share * float64(all.n)))
	for _, d := range slices.Sorted(maps.Keys(days)) {
		if left <= 0 {
			break
		}
		q.before, q.some = d, min(left, days[d].n)
		q.bytes += int64(float64(days[d].bytes) * float64(q.some) / float64(days[d].n))
		left -= q.some
	}
	return q, nil
}

// counts says whether a line tells of files that are to be there.
func (s *survey) counts(e Entry, n int64) bool {
	if e.Kind != Filed && e.Kind != Rejected {
		return false
	}
	key, ok := keyOf(e.File)
	return ok && n > s.gone[key]
}

// pick says whether the files of a line are read tonight.
func (q *quarter) pick(e Entry) bool {
	at := q.s.unread(e.Seq, e.Time, q.now)
	d := dayNumber(at)
	// What lay there when the first share was read has a quarter from then on.
	since := at
	if begun := q.s.first; since.Before(begun) {
		since = begun
	}
	yes := d < q.before || since.Before(q.late) && !q.s.first.IsZero()
	if d == q.before && q.some > 0 {
		q.some--
		yes = true
	}
	if !yes {
		q.skipped = true
		if q.oldest.IsZero() || at.Before(q.oldest) {
			q.oldest = at
		}
	}
	return yes
}

// extend adds a line to spans of lines; the last span goes on unless a report was
// passed over.
func extend(spans [][2]int64, n int64, skipped bool) [][2]int64 {
	if len(spans) > 0 && !skipped {
		spans[len(spans)-1][1] = n
		return spans
	}
	return append(spans, [2]int64{n, n})
}
