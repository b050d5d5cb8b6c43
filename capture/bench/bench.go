// Package bench is one shop's working folder: its photos, the journals of its
// examinations, its index, its issued reports and its key.
//
// Start with Open, then Begin or OpenExam, then Exam.Do and Import. FORMAT.md
// beside this file says what lies where. Files are the truth: what a method
// reported as saved is in a synced file, and the index can be deleted at any
// time. One process at a time has a bench; a second one is told who.
//
// The package does not judge an examination and does not sign.
package bench

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"sync"
	"time"

	"wornwood/capture/blob"
	"wornwood/capture/index"
	"wornwood/capture/journal"
)

// Names inside a bench.
const (
	fileName     = "bench.json"
	lockName     = "lock"
	originalsDir = "originals"
	attachDir    = "attachments"
	previewsDir  = "previews"
	examsDir     = "examinations"
	reportsDir   = "reports"
	keysDir      = "keys"
	indexName    = "index.db"
)

// Format names what bench.json says a bench is; formatVersion is the version
// this program writes and the only one it reads.
const (
	Format        = "wornwood bench"
	formatVersion = 1
)

// ErrNotBench says that a folder is no bench.
var ErrNotBench = errors.New("the folder is not a bench; choose another or let a new bench be made")

// ErrClosed says that the bench was closed.
var ErrClosed = errors.New("the bench is closed")

// DamagedError says that a file of the bench cannot be used. Nothing was changed.
type DamagedError struct {
	File string
	Why  string
}

func (e *DamagedError) Error() string {
	return fmt.Sprintf("%s is damaged: %s; nothing was changed, bring the file back from a backup", e.File, e.Why)
}

// Options says how to open a bench. The zero value opens an existing one with
// the system's clock and random numbers.
type Options struct {
	Now    func() time.Time // called by one goroutine at a time
	Rand   io.Reader        // for IDs
	Create bool             // make the bench when the folder is empty or missing
}

// Settings are the user's, kept in bench.json.
type Settings struct {
	Shop     string `json:"shop,omitempty"`
	Examiner string `json:"examiner,omitempty"`
	Place    string `json:"place,omitempty"`
	Paper    string `json:"paper,omitempty"` // "A4" or "Letter"; "" reads as A4
	Units    string `json:"units,omitempty"` // "mm" or "in"; "" reads as mm
	// Language is that of new reports, a tag such as "de"; "" reads as English.
	// Which languages there are is not this package's business.
	Language string `json:"language,omitempty"`
	// Rubric is the hash of the rubric that new examinations are graded by; ""
	// is the newest that comes with the program.
	Rubric string `json:"rubric,omitempty"`

	// ExamineEvery is after how many months an instrument is examined again
	// when its examination names no date itself; 0 for no rule.
	ExamineEvery int `json:"examineEvery,omitempty"`

	// Timestamp is the web address of a time-stamp authority (RFC 3161) that is
	// asked when a report is issued; "" asks none.
	Timestamp string `json:"timestamp,omitempty"`
	// LongTerm embeds what the authority of the signing certificate publishes
	// on revoked certificates when a report is issued.
	LongTerm bool `json:"longTerm,omitempty"`
}

// about is the content of bench.json.
type about struct {
	Format   string   `json:"format"`
	Version  int      `json:"version"`
	ID       string   `json:"id"`
	Settings Settings `json:"settings"`
}

// Bench is an open bench. Its methods may be called from several goroutines.
type Bench struct {
	dir   string
	now   func() time.Time
	lock  *lockFile
	blobs *blob.Store

	attachments *blob.Store

	importing chan struct{} // one import at a time, holding its one token
	reducing  chan struct{} // tokens that bound how many photos are decoded at once

	mu     sync.Mutex
	random io.Reader
	about  about
	exams  map[string]*Exam
	closed bool

	reportMu sync.Mutex // from looking whether a report exists to writing it

	indexMu sync.Mutex
	index   *index.Index // nil after it failed, until it is filled again
	damaged []Finding    // journals that the index leaves out
}

// Open opens a bench, or makes one when asked to. It returns ErrNotBench
// (wrapped), a *HeldError when another process has it, or a *DamagedError.
func Open(dir string, o Options) (*Bench, error) {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Rand == nil {
		o.Rand = rand.Reader
	}
	if err := prepare(dir, o.Create); err != nil {
		return nil, err
	}
	lock, err := takeLock(filepath.Join(dir, lockName), o.Now())
	if err != nil {
		return nil, err
	}
	b := &Bench{
		dir: dir, now: oneAtATime(o.Now), random: o.Rand, lock: lock,
		exams:     map[string]*Exam{},
		importing: make(chan struct{}, 1),
		reducing:  make(chan struct{}, workers),
	}
	if err := b.load(o.Create); err != nil {
		return nil, errors.Join(err, lock.release())
	}
	return b, nil
}

func oneAtATime(now func() time.Time) func() time.Time {
	var mu sync.Mutex
	return func() time.Time {
		mu.Lock()
		defer mu.Unlock()
		return now()
	}
}

// prepare refuses a folder that is no bench before anything is written to it.
func prepare(dir string, create bool) error {
	_, err := os.Stat(filepath.Join(dir, fileName))
	if err == nil {
		return nil
	}
	if !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("open bench: %w", err)
	}
	if !create {
		return fmt.Errorf("open bench %s: %w", dir, ErrNotBench)
	}
	list, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("make bench: %w", err)
	}
	for _, d := range list {
		// A making that was cut short leaves only these.
		if n := d.Name(); n != lockName && !blob.IsTemp(n) {
			return fmt.Errorf("make bench %s: the folder is not empty: %w", dir, ErrNotBench)
		}
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("make bench: %w", err)
	}
	return blob.SyncDir(filepath.Dir(dir))
}

func (b *Bench) load(create bool) error {
	err := b.readAbout()
	if errors.Is(err, fs.ErrNotExist) && create {
		var id string
		if id, err = b.newID(); err == nil {
			b.about = about{Format: Format, Version: formatVersion, ID: id}
			err = b.writeAbout()
		}
	}
	if err != nil {
		return err
	}
	for _, d := range []string{"", previewsDir, examsDir, reportsDir, keysDir, tablesDir, rubricsDir, listingsDir} {
		perm := fs.FileMode(0o755)
		if d == keysDir {
			perm = 0o700
		}
		p := filepath.Join(b.dir, d)
		if err := os.MkdirAll(p, perm); err != nil {
			return fmt.Errorf("open bench: %w", err)
		}
		if err := blob.CleanTemp(p); err != nil {
			return err
		}
	}
	if b.blobs, err = blob.Open(filepath.Join(b.dir, originalsDir)); err != nil {
		return err
	}
	if b.attachments, err = blob.Open(filepath.Join(b.dir, attachDir)); err != nil {
		return err
	}
	if err := blob.SyncDir(b.dir); err != nil {
		return err
	}
	return b.openIndex(context.Background())
}

// maxAbout bounds bench.json, which holds a few lines.
const maxAbout = 1 << 20

func (b *Bench) readAbout() error {
	p := filepath.Join(b.dir, fileName)
	f, err := os.Open(p)
	if err != nil {
		return fmt.Errorf("open bench: %w", err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxAbout))
	if err != nil {
		return fmt.Errorf("open bench: %w", err)
	}
	var a about
	if err := json.Unmarshal(data, &a); err != nil {
		return &DamagedError{File: p, Why: err.Error()}
	}
	switch {
	case a.Format != Format:
		return fmt.Errorf("open bench %s: its %s says %q: %w", b.dir, fileName, a.Format, ErrNotBench)
	case a.Version > formatVersion:
		return fmt.Errorf("open bench %s: it was made by a newer program (its version is %d, this program knows %d); use the newer program", b.dir, a.Version, formatVersion)
	case a.Version != formatVersion || !validID(a.ID):
		return &DamagedError{File: p, Why: "its version or ID is impossible"}
	}
	b.about = a
	return nil
}

func (b *Bench) writeAbout() error {
	data, err := json.MarshalIndent(b.about, "", "  ")
	if err != nil {
		return fmt.Errorf("write settings: %w", err)
	}
	return blob.WriteFile(filepath.Join(b.dir, fileName), 0o644, func(w io.Writer) error {
		_, err := w.Write(append(data, '\n'))
		return err
	})
}

// Close closes every open examination and gives the bench free. What was
// reported as saved is on the disk already.
func (b *Bench) Close() error {
	b.mu.Lock()
	if b.closed {
		b.mu.Unlock()
		return nil
	}
	b.closed = true
	exams := b.exams
	b.exams = nil
	b.mu.Unlock()
	var errs []error
	for _, e := range exams {
		errs = append(errs, e.shut())
	}
	b.indexMu.Lock()
	if b.index != nil {
		errs = append(errs, b.index.Close())
		b.index = nil
	}
	b.indexMu.Unlock()
	return errors.Join(append(errs, b.lock.release())...)
}

// Dir is the bench's folder.
func (b *Bench) Dir() string { return b.dir }

// ID is the bench's own ID, made once.
func (b *Bench) ID() string { return b.about.ID }

// Settings are the settings as they are now.
func (b *Bench) Settings() Settings {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.about.Settings
}

// languageTag is the form of a language's tag (BCP 47), or nothing.
var languageTag = regexp.MustCompile(`^([A-Za-z]{2,8}(-[A-Za-z0-9]{1,8}){0,4})?$`)

// MaxExamineEvery bounds Settings.ExamineEvery: fifty years.
const MaxExamineEvery = 600

// SetSettings saves the settings.
func (b *Bench) SetSettings(s Settings) error {
	if s.Paper != "" && s.Paper != "A4" && s.Paper != "Letter" {
		return fmt.Errorf("write settings: paper %q is neither A4 nor Letter", s.Paper)
	}
	if s.Units != "" && s.Units != "mm" && s.Units != "in" {
		return fmt.Errorf("write settings: unit %q is neither mm nor in", s.Units)
	}
	if !languageTag.MatchString(s.Language) {
		return fmt.Errorf("write settings: %.40q is no tag of a language, such as en or de", s.Language)
	}
	if s.ExamineEvery < 0 || s.ExamineEvery > MaxExamineEvery {
		return fmt.Errorf("write settings: to examine again every %d months is not possible; it is 1 to %d, or 0 for no rule", s.ExamineEvery, MaxExamineEvery)
	}
	if s.Rubric != "" && !isSum(s.Rubric) {
		return fmt.Errorf("write settings: %.70q is not the hash of a rubric", s.Rubric)
	}
	if err := CheckAuthority(s.Timestamp); err != nil {
		return fmt.Errorf("write settings: %w", err)
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.closed {
		return ErrClosed
	}
	old := b.about.Settings
	b.about.Settings = s
	if err := b.writeAbout(); err != nil {
		b.about.Settings = old
		return err
	}
	return nil
}

// examPath is where the journal of an examination lies.
func (b *Bench) examPath(id string) string {
	return filepath.Join(b.dir, examsDir, id+journalSuffix)
}

const journalSuffix = ".journal"

// asDamaged turns a journal's damage into the bench's own.
func asDamaged(err error) error {
	var d *journal.DamagedError
	if errors.As(err, &d) {
		return &DamagedError{File: d.File, Why: fmt.Sprintf("line %d: %s", d.Line, d.Why)}
	}
	return err
}
