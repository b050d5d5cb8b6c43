package archive

import (
	"errors"
	"fmt"
	"slices"
	"strings"
)

// Collection is a named set of instruments: what one owner has, or one policy
// covers.
type Collection struct {
	Name  string   `json:"name"`
	Items []Placed `json:"items"` // in the order in which they were put in, also those taken out
}

// Placed is an item with the days between which it belongs to a collection.
type Placed struct {
	Item
	Since string `json:"since"`           // the first day
	Until string `json:"until,omitempty"` // the first day on which it is out again; "" while it is in
	Seq   int64  `json:"seq"`             // line of the log that put it in
	By    string `json:"by"`
}

// On says whether it belongs to the collection on a day.
func (p Placed) On(day string) bool { return p.Since <= day && (p.Until == "" || day < p.Until) }

// In are the items that belong to it on a day, 2006-01-02.
func (c Collection) In(day string) []Placed {
	var out []Placed
	for _, p := range c.Items {
		if p.On(day) {
			out = append(out, p)
		}
	}
	return out
}

// apply takes in the next line of the log.
func (c *Collection) apply(e Entry, b collectionBody) {
	for i := range c.Items {
		p := &c.Items[i]
		gone := b.Ended || slices.ContainsFunc(b.Remove, func(r Item) bool { return r.key() == p.key() })
		if gone && (p.Until == "" || p.Until > b.On) {
			p.Until = max(b.On, p.Since) // taken out before it was in: it never was
		}
	}
	for _, n := range b.Add {
		same := slices.IndexFunc(c.Items, func(p Placed) bool { return p.key() == n.key() && p.Until == "" })
		if same >= 0 {
			c.Items[same].Since = min(c.Items[same].Since, b.On)
			continue
		}
		c.Items = append(c.Items, Placed{Item: n, Since: b.On, Seq: e.Seq, By: e.By})
	}
}

// Collections are all collections, by name.
func (a *Archive) Collections() ([]Collection, error) {
	notes, err := a.Notes(Collecting)
	if err != nil {
		return nil, err
	}
	var list []Collection
	at := map[string]int{}
	for _, e := range notes {
		b, err := readNote[collectionBody](e)
		if err != nil {
			return nil, err
		}
		i, is := at[fold(b.Name)]
		if !is {
			i = len(list)
			at[fold(b.Name)], list = i, append(list, Collection{Name: b.Name, Items: []Placed{}})
		}
		list[i].apply(e, b)
	}
	slices.SortFunc(list, func(a, b Collection) int { return strings.Compare(fold(a.Name), fold(b.Name)) })
	return list, nil
}

// Collection is the collection of that name, small and capital letters aside.
func (a *Archive) Collection(name string) (Collection, error) {
	list, err := a.Collections()
	if err != nil {
		return Collection{}, err
	}
	i := slices.IndexFunc(list, func(c Collection) bool { return fold(c.Name) == fold(name) })
	if i < 0 {
		var names []string
		for _, c := range list[:min(len(list), 20)] {
			names = append(names, c.Name)
		}
		if len(names) == 0 {
			return Collection{}, fmt.Errorf("there is no collection %.80q, nor any other; 'wornwood archive collections DIR add NAME' makes one", name)
		}
		return Collection{}, fmt.Errorf("there is no collection %.80q; there are %s", name, strings.Join(names, ", "))
	}
	return list[i], nil
}

// ItemOf is the instrument of a filed report, named by the report's SHA-256 or
// a beginning of it, as a collection or policy names it.
func (a *Archive) ItemOf(hash string) (Item, error) {
	r, err := a.row(hash)
	if err != nil {
		return Item{}, err
	}
	return Item{Member: memberOf(r)}, nil
}

// Describe is an instrument without a report.
func Describe(what, serial string) (Item, error) {
	i := Item{What: clean(what, 200), Serial: clean(serial, 80)}
	if i.What == "" {
		return Item{}, errors.New("say what the instrument without a report is: class, maker, model")
	}
	return i, nil
}

// maxItems bounds how many items one line of the log names; more are written
// on several lines.
const maxItems = 100

// Collect puts instruments into a collection from a day on (2006-01-02; "" is
// today), and makes the collection where there is none of the name. An
// instrument that is in it, also under another of its reports, is passed over;
// added is how many were not.
func (a *Archive) Collect(by, name, since string, items ...Item) (added int, err error) {
	name, on, err := a.nameAndDay(name, since)
	if err != nil {
		return 0, fmt.Errorf("collection: %w", err)
	}
	p, err := a.decisions()
	if err != nil {
		return 0, err
	}
	list, err := a.Collections()
	if err != nil {
		return 0, err
	}
	in := map[string]bool{}
	known := false
	for _, c := range list {
		if fold(c.Name) == fold(name) {
			known, name = true, c.Name
			for _, i := range c.Items {
				if i.Until == "" && i.Since <= on {
					in[p.one(i.Item)] = true
				}
			}
		}
	}
	var fresh []Item
	for _, i := range items {
		if key := p.one(i); !in[key] {
			in[key], fresh = true, append(fresh, i)
		}
	}
	if len(fresh) == 0 && known {
		return 0, nil
	}
	for begin := 0; begin == 0 || begin < len(fresh); begin += maxItems {
		part := fresh[begin:min(begin+maxItems, len(fresh))]
		if err := a.noteOf(Collecting, by, collectionBody{Name: name, On: on, Add: part}); err != nil {
			return added, fmt.Errorf("collection: %w", err)
		}
		added += len(part)
	}
	return added, nil
}

// TakeOut takes instruments out of a collection from a day on ("" is today);
// without any it takes out everything and so ends the collection. A report
// stands for all of its instrument.
func (a *Archive) TakeOut(by, name, on, why string, items ...Item) (removed int, err error) {
	name, on, err = a.nameAndDay(name, on)
	if err != nil {
		return 0, fmt.Errorf("collection: %w", err)
	}
	c, err := a.Collection(name)
	if err != nil {
		return 0, err
	}
	p, err := a.decisions()
	if err != nil {
		return 0, err
	}
	body := collectionBody{Name: c.Name, On: on, Why: clean(why, maxReason), Ended: len(items) == 0}
	gone := map[string]bool{}
	for _, i := range items {
		gone[p.one(i)] = true
	}
	for _, i := range c.Items {
		if i.Until != "" || !body.Ended && !gone[p.one(i.Item)] {
			continue
		}
		removed++
		if !body.Ended {
			body.Remove = append(body.Remove, i.Item)
		}
	}
	switch {
	case removed == 0 && !body.Ended:
		return 0, fmt.Errorf("collection: none of these is in %s", c.Name)
	case len(body.Remove) > maxItems:
		return 0, fmt.Errorf("collection: %d at once, more than %d; name fewer", len(body.Remove), maxItems)
	}
	if err := a.noteOf(Collecting, by, body); err != nil {
		return 0, fmt.Errorf("collection: %w", err)
	}
	return removed, nil
}

func (a *Archive) nameAndDay(name, day string) (string, string, error) {
	name = clean(name, 120)
	if name == "" {
		return "", "", errors.New("name the collection")
	}
	day, err := cleanDay("since when", day)
	if err == nil && day == "" {
		day = dayOf(a.now())
	}
	return name, day, err
}

// one is what an item counts as: the same for all reports of one instrument.
func (p *replay) one(i Item) string {
	if i.Described() {
		return i.key()
	}
	el := p.element(i.Member)
	if c, is := p.class[el]; is {
		return fmt.Sprintf("c%d", c)
	}
	return el
}
