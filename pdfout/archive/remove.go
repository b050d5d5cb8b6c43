package archive

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"time"

	"wornwood/pdfout"
	"wornwood/pdfout/sign"
)

// RemovalCaution is what whoever removes a report is to know.
const RemovalCaution = "What must be kept, and what must go, is a matter of the law where you are and of your contracts: ask whoever advises you there before removing anything. " +
	"What was removed cannot be brought back from this archive. Copies and backups still hold it, and the log keeps its SHA-256, the name it came under and when."

// Removal says which report is removed and why.
type Removal struct {
	Report string // SHA-256, filed or refused
	Rule   string // under which it is removed, or which law or order asks for it
	Reason string
	By     string // who decides it; "" is whom the first key is of
	// Signers sign the tombstone, one or two of them.
	Signers []*sign.Identity
}

// maxSigners bounds who signs one tombstone.
const maxSigners = 2

// HeldBackError says that a report must not be removed.
type HeldBackError struct {
	Report string
	Hold   Hold
}

func (e *HeldBackError) Error() string {
	return fmt.Sprintf("the report %.16s is held: %s (%s, %s); nothing was removed. Whoever set the hold may end it: wornwood archive retention DIR --release SHA256",
		e.Report, e.Hold.Why, e.Hold.By, e.Hold.Time.Format(time.DateOnly))
}

// Remove takes a report out of the archive, with everything that belongs to it,
// and leaves a signed tombstone in the log. A report that is held is not removed:
// *HeldBackError. The copy of it that somebody countersigned later is another
// report, and stays.
func (a *Archive) Remove(r Removal) (*Tombstone, error) {
	t, err := a.tombstoneFor(r)
	if err != nil {
		return nil, fmt.Errorf("remove report: %w", err)
	}
	body := removedBody{Tombstone: *t}
	content, err := pdfout.Canonical(t)
	if err != nil {
		return nil, fmt.Errorf("remove report: %w", err)
	}
	for _, id := range r.Signers {
		der, err := sign.SignContent(id, content)
		if err != nil {
			return nil, fmt.Errorf("remove report: %w", err)
		}
		body.Signatures = append(body.Signatures, der)
	}
	raw, err := pdfout.Canonical(body)
	if err != nil {
		return nil, fmt.Errorf("remove report: %w", err)
	}
	if err := a.store.Retire(t.Report); err != nil {
		return nil, err
	}
	e := Entry{Kind: Removed, File: t.Report, By: t.By, Body: raw, Summary: clean(fmt.Sprintf("removed under %s: %s", t.Rule, t.Reason), 600)}
	events := []Event{{Entry: e}}
	if err := a.write(events); err != nil {
		// Whether the line got there after all is told apart on the next opening.
		return nil, err
	}
	if err := errors.Join(a.store.Remove(t.Report), a.store.Settle()); err != nil {
		return nil, err
	}
	return t, a.apply(events)
}

// tombstoneFor sees that a removal may be made and says what will be left.
func (a *Archive) tombstoneFor(r Removal) (*Tombstone, error) {
	if a.readOnly {
		return nil, errors.New("the archive is open for reading only")
	}
	t := &Tombstone{Schema: TombstoneSchema, Archive: a.genesis, Removed: a.now().UTC().Truncate(time.Millisecond), Rule: clean(r.Rule, maxReason), Reason: clean(r.Reason, maxReason), By: clean(r.By, maxReason)}
	if n := len(r.Signers); n < 1 || n > maxSigners {
		return nil, errors.New("a tombstone is signed by one or two persons; give a key")
	}
	if len(r.Signers) == 2 && r.Signers[0].Fingerprint() == r.Signers[1].Fingerprint() {
		return nil, errors.New("the second signature needs the key of another person")
	}
	if t.By == "" {
		t.By = clean(r.Signers[0].Certificate.Subject.CommonName, maxReason)
	}
	switch {
	case t.Rule == "":
		return nil, errors.New("name the rule under which it is removed, or the law or order that asks for it")
	case t.Reason == "":
		return nil, errors.New("say why; it stays in the log")
	case t.By == "":
		return nil, errors.New("say who decides it")
	}
	e, err := a.filing(r.Report)
	if err != nil {
		return nil, err
	}
	t.Report, t.Line, t.Filed, t.First, t.Area = e.File, e.Seq, e.Time, e.First, Files
	if e.Kind == Rejected {
		t.Area = Refused
	}
	hold, err := a.heldBack(e)
	if err == nil && hold != nil {
		err = &HeldBackError{e.File, *hold}
	}
	return t, err
}

// filing is the line that filed or refused what is there now, found in the log by
// its SHA-256 or a beginning of it.
func (a *Archive) filing(hash string) (Entry, error) {
	hash, err := cleanHash(hash)
	if err != nil {
		return Entry{}, err
	}
	var found Entry
	var gone bool
	err = a.store.Log(MainLog, 0, func(line []byte, _ int64) error {
		file := fileOf(line)
		if len(file) < len(hash) || file[:len(hash)] != hash {
			return nil
		}
		var e Entry
		if err := json.Unmarshal(line, &e); err != nil {
			return fmt.Errorf("a line of the log about it cannot be read; 'wornwood archive check' says more")
		}
		switch {
		case found.File != "" && found.File != e.File:
			return fmt.Errorf("report %s: %w", hash, ErrAmbiguous)
		case e.Kind == Filed, e.Kind == Rejected && (found.File == "" || gone):
			found, gone = e, false
		case e.Kind == Removed:
			gone = true
		}
		return nil
	})
	switch {
	case err != nil:
		return Entry{}, err
	case found.File == "":
		return Entry{}, fmt.Errorf("report %s: %w", hash, ErrMissing)
	case gone:
		return Entry{}, fmt.Errorf("report %.16s: it was removed already", found.File)
	}
	return found, nil
}

// FinishRemoval deletes what is still there of a report that the log says to be
// removed, as a check may find it after a copy was put back.
func (a *Archive) FinishRemoval(hash string) error {
	if a.readOnly {
		return errors.New("remove report: the archive is open for reading only")
	}
	list, err := a.Removals()
	if err != nil {
		return err
	}
	for _, r := range list {
		if r.Report == hash && !r.Back {
			return errors.Join(a.store.Remove(hash), a.store.Settle())
		}
	}
	return fmt.Errorf("remove report: the log does not say that %.64s was removed; name it by its whole SHA-256", hash)
}

// RemovedReport is a tombstone as the log has it.
type RemovedReport struct {
	Tombstone
	Seq     int64           `json:"seq"` // of its line
	Signers []RemovalSigner `json:"signers"`
	Why     string          `json:"why,omitempty"`  // the signatures do not hold
	Back    bool            `json:"back,omitempty"` // it was filed again since
}

// RemovalSigner is who signed a tombstone.
type RemovalSigner struct {
	Name        string `json:"name"` // as the certificate says
	Fingerprint string `json:"fingerprint"`
}

// Removals are the reports that were removed, in the order of the log.
func (a *Archive) Removals() ([]RemovedReport, error) {
	notes, err := a.Notes(Removed)
	if err != nil {
		return nil, err
	}
	out := []RemovedReport{}
	for _, e := range notes {
		b := bodyOf[removedBody](e)
		r := RemovedReport{Tombstone: b.Tombstone, Seq: e.Seq, Signers: []RemovalSigner{}}
		r.Report = e.File
		for _, s := range b.Signatures {
			print, name, err := b.Tombstone.signedBy(s)
			if err != nil {
				r.Why = sentence(err)
				continue
			}
			r.Signers = append(r.Signers, RemovalSigner{name, string(print)})
		}
		row, err := a.index.Filed(e.File)
		if err != nil {
			return nil, err
		}
		r.Back = row != nil
		out = append(out, r)
	}
	return out, nil
}

// signedBy checks one signature and says whose it is.
func (t Tombstone) signedBy(der []byte) (sign.Fingerprint, string, error) {
	content, err := pdfout.Canonical(t)
	if err != nil {
		return "", "", err
	}
	cert, err := sign.CheckContent(der, content)
	if err != nil {
		return "", "", err
	}
	return sign.FingerprintOf(cert), clean(cert.Subject.CommonName, 80), nil
}

// RemovedVersions are the removed versions of a report with this first signature,
// as far as they were not filed again.
func (a *Archive) RemovedVersions(first string) ([]RemovedReport, error) {
	list, err := a.Removals()
	return slices.DeleteFunc(list, func(r RemovedReport) bool { return r.First != first || first == "" || r.Back }), err
}

// gone are the reports that were removed and not filed again, with the sentence
// that says so to who files them: a mailbox that is filed once more must not
// bring them back. None where they are to be filed again.
func (a *Archive) gone(again bool) (map[string]string, error) {
	if again {
		return nil, nil
	}
	list, err := a.Removals()
	if err != nil {
		return nil, err
	}
	out := map[string]string{}
	for _, r := range list {
		if !r.Back {
			out[r.Report] = fmt.Sprintf("it was removed on %s under %s; it is filed again only when that is asked for", r.Removed.Format(time.DateOnly), r.Rule)
		}
	}
	return out, nil
}
