// Package archive keeps signed reports of many dealers: filed once under their
// SHA-256, found again in a moment, and shown years later to be unaltered.
//
// Start with Make and Open; Archive.File files what is given to it, Find finds
// it by the query line of ParseQuery, Check reads every byte again, and Prove
// shows that nothing was taken out of the log since somebody noted its head.
// FORMAT.md is the contract on disk.
//
// Files and log are the archive; the index is thrown away and made anew at any
// time. A Store keeps files and log, an Index finds; archivetest has the checks
// that any other kind of either must pass as well. The package promises that
// what it said is filed is on disk, and that nothing filed is changed by it. It
// does not promise that a signer is who the certificate says: that is what
// pdfout.Verify found at the time of filing, and the verdict is kept.
package archive
