package archive

// noIndex stands for an index that cannot be opened in an archive that is open
// for reading only: what needs one says why there is none.
type noIndex struct{ err error }

func (n noIndex) At() (Position, error)                        { return Position{}, n.err }
func (n noIndex) Apply([]Event, Position) error                { return n.err }
func (n noIndex) Reset() error                                 { return n.err }
func (n noIndex) Filed(string) (*Row, error)                   { return nil, n.err }
func (n noIndex) Refused(string) (bool, error)                 { return false, n.err }
func (n noIndex) Versions(string) ([]Row, error)               { return nil, n.err }
func (n noIndex) Find(*Query, int, int) (*Found, error)        { return nil, n.err }
func (n noIndex) Counts(*Query, string) ([]Count, error)       { return nil, n.err }
func (n noIndex) Suggest(string, string, int) ([]Count, error) { return nil, n.err }
func (n noIndex) Notes(...EventKind) ([]Entry, error)          { return nil, n.err }
func (n noIndex) Check() error                                 { return n.err }
func (n noIndex) Close() error                                 { return nil }
