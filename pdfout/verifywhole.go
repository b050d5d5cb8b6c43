package pdfout

import (
	"context"
	"io"

	"wornwood/pdfout/sign"
)

// VerifyWhole is VerifyReader for those who keep reports: beside the verdict it
// gives what package sign found, which knows how far the first signature
// reaches and what is attached. Both come of one reading of the file.
func VerifyWhole(ctx context.Context, r io.ReaderAt, size int64, opt VerifyOptions) (*Verdict, *sign.Report, error) {
	return verifyFile(ctx, r, size, opt)
}
