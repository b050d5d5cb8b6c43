package sign

import (
	"testing"
)

func TestSignThenVerify(t *testing.T) {
	id := key(t, examinerKey)
	r := verifyBytes(t, signedSample(t), VerifyOptions{KnownKeys: map[Fingerprint]string{id.Fingerprint(): "Merrow & Finch"}})
	for _, f := range r.Findings {
		t.Logf("%s %s: %s", f.Severity, f.Code, f.Text)
	}
	if !r.OK || len(r.Signatures) != 1 || !r.Signatures[0].Intact || !r.Signatures[0].CoversAll || !r.Signatures[0].Known {
		t.Fatalf("%+v", r)
	}
	r = verifyBytes(t, countersigned(t), VerifyOptions{})
	for _, f := range r.Findings {
		t.Logf("%s %s: %s", f.Severity, f.Code, f.Text)
	}
	if !r.OK || !r.Countersigned {
		t.Fatalf("%+v", r)
	}
}
