// Package sign puts signatures on PDF reports and tells what the signatures on
// a report prove.
//
// Sign writes a PAdES baseline signature (ETSI EN 319 142-1, level B-B, with a
// time-stamp B-T) into one of the fields that package pdf prepared. Verify
// reads a file as if its sender were clever: it accepts after the first
// signature nothing but the countersignature, a time-stamp or certificates for
// later checking, and compares revisions object by object to see that.
//
// AddRevocation and AddTimestamp lengthen the life of a signed report: they
// embed what the authorities say about revocation (B-LT) and stamp the whole.
//
// Start with NewKey, Sign and Verify.
//
// A self-made certificate proves only that nothing has changed since the
// holder of that key signed; who holds the key is for the reader to find out
// by comparing the Fingerprint over another channel. Verify asks nobody: it
// reads the statements on revocation that are in the file, and no time is called
// proven without a token of an authority the caller trusts.
package sign
