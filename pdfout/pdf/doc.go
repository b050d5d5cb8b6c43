// Package pdf reads and writes the objects of a PDF file.
//
// It does two jobs and knows nothing of what the pages say. Rewrite takes the
// output of a page drawing library and turns it into the archival form
// (ISO 19005-3 level B, tagged for ISO 14289-1 when a structure is given),
// with attachments, empty signature fields and bytes that do not depend on the
// run. Open reads a file made elsewhere, revision by revision, strictly and
// with limits, which is what package sign needs to say what a later revision
// changed.
//
// Start with Rewrite and Options, or with Open, File and View.
//
// It does not promise to read every PDF: encrypted, linearised, damaged and
// hybrid files are refused or reported rather than repaired, because a reader
// that repairs can be shown something else than was signed. It never decodes
// pictures and holds no picture in memory beside the caller's own bytes.
package pdf
