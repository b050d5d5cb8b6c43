package cli_test

import (
	"net/url"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/servicetest"
)

// services gives scripts the servers of shared archives.
type services struct{ t *testing.T }

// bucket NAME makes a bucket and puts its address into a variable, and its keys
// where a user has them.
func (s services) bucket(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: bucket NAME")
	}
	b := servicetest.S3(s.t)
	ts.Setenv(args[0], archive.S3Place{Endpoint: b.Endpoint, Region: servicetest.Region, Bucket: b.Bucket, Prefix: "shop/"}.String())
	ts.Setenv("AWS_ACCESS_KEY_ID", b.Key)
	ts.Setenv("AWS_SECRET_ACCESS_KEY", b.Secret)
}

// database NAME makes a database and puts its address without the password into
// a variable, and the password where a user has it.
func (s services) database(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: database NAME")
	}
	u, err := url.Parse(servicetest.Postgres(s.t))
	ts.Check(err)
	password, _ := u.User.Password()
	u.User = url.User(u.User.Username())
	ts.Setenv(args[0], u.String())
	ts.Setenv("PGPASSWORD", password)
}
