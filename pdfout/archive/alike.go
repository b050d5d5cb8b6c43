package archive

import (
	"cmp"
	"context"
	"slices"
	"sync"
)

// Strength says in a word how much speaks for two reports being of one
// instrument. There is no word for certain: only a person joins.
type Strength string

// The strengths.
const (
	Strong Strength = "strong"
	Fair   Strength = "fair"
	Weak   Strength = "weak"
)

// Evidence is one thing that speaks for or against.
type Evidence struct {
	Rule   string  `json:"rule"`   // of AlikeRules
	Text   string  `json:"text"`   // a sentence
	Points float64 `json:"points"` // below 0 it speaks against; 0 it is only good to know
}

// Proposal is another instrument that may be the same.
type Proposal struct {
	Report   Row        `json:"report"` // of it, the one that was compared
	Strength Strength   `json:"strength"`
	Points   float64    `json:"points"`
	For      []Evidence `json:"for"`
	Against  []Evidence `json:"against"`
}

// Alike is what was found for one report.
type Alike struct {
	Of        Row        `json:"of"`
	Proposals []Proposal `json:"proposals"` // the strongest first
	Compared  int        `json:"compared"`  // records that were read
	// More says that there are more reports of its maker and model than were
	// looked through, so that marks alone may have missed one.
	More bool `json:"more"`
	// Apart are those left out because a person said that they are others.
	Apart int `json:"apart"`
}

// MaxProposals bounds what Alike is asked for.
const MaxProposals = 50

// readers is how many records are read at the same time.
const readers = 4

// Alike proposes instruments that may be the one a report is of, with what
// speaks for and against, at most as many as asked for. It decides nothing.
func (a *Archive) Alike(ctx context.Context, hash string, most int) (*Alike, error) {
	r, err := a.row(hash)
	if err != nil {
		return nil, err
	}
	p, err := a.decisions()
	if err != nil {
		return nil, err
	}
	of := Look{Report: r}
	if err := a.fill(&of); err != nil {
		return nil, err
	}
	out := &Alike{Of: r, Proposals: []Proposal{}}
	list, err := a.candidates(ctx, p, &of, out)
	if err != nil {
		return nil, err
	}
	best := map[string]Proposal{}
	for _, pr := range a.judged(ctx, &of, list) {
		out.Compared++
		if pr.Strength == "" {
			continue
		}
		key := p.key(p.element(memberOf(pr.Report)))
		if old, is := best[key]; !is || pr.Points > old.Points {
			best[key] = pr
		}
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	for _, pr := range best {
		out.Proposals = append(out.Proposals, pr)
	}
	slices.SortFunc(out.Proposals, func(x, y Proposal) int {
		return cmp.Or(-cmp.Compare(x.Points, y.Points), cmp.Compare(x.Report.Seq, y.Report.Seq))
	})
	out.Proposals = out.Proposals[:min(len(out.Proposals), most, MaxProposals)]
	return out, nil
}

// judged reads the candidates' records and weighs them. One that cannot be read
// is left out: the check of the archive tells of it.
func (a *Archive) judged(ctx context.Context, of *Look, list []Row) []Proposal {
	got := make([]*Proposal, len(list))
	var work sync.WaitGroup
	next := make(chan int)
	for range readers {
		work.Go(func() {
			for i := range next {
				l := Look{Report: list[i]}
				if a.fill(&l) == nil {
					pr := Weigh(of, &l)
					got[i] = &pr
				}
			}
		})
	}
	for i := range list {
		if ctx.Err() != nil {
			break
		}
		next <- i
	}
	close(next)
	work.Wait()
	var out []Proposal
	for _, pr := range got {
		if pr != nil {
			out = append(out, *pr)
		}
	}
	return out
}

// key names the class of an element.
func (p *replay) key(el string) string {
	els := p.together(el)
	slices.Sort(els)
	return els[0]
}
