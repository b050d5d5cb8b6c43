package sign

import (
	"context"
	"io"
	"time"
)

// SignerRevoked says since when the certificate of a signed report's first
// signer, or one on the way to its authority, is revoked, by the statements
// embedded in the report; zero where none of them says so. The statements'
// signatures are checked; whether anybody trusts the authority is not asked.
func SignerRevoked(ctx context.Context, in io.ReaderAt, size int64) (time.Time, error) {
	var none time.Time
	f, err := openIntact(ctx, in, size)
	if err != nil {
		return none, err
	}
	chains, err := chainsIn(f.Last())
	if err != nil || len(chains) == 0 {
		return none, err
	}
	st, err := readStatements(f.Last())
	if err != nil {
		return none, err
	}
	for i := 0; i+1 < len(chains[0]); i++ {
		if s := st.about(chains[0][i], chains[0][i+1], none); s.revoked {
			return s.when, nil
		}
	}
	return none, nil
}
