// Package dating says which years the dated things on and about an instrument
// allow: codes on components, the serial number in a shop's own table, ways of
// building that began or ended, dated papers and inscriptions.
//
// Start with Reckon, which weighs a whole record; PotCode reads one code,
// ClaimedYears one claim, ReadSerials and ReadFeatures a shop's own table.
//
// A date on a part is the part's. Parts lie in stock and are changed later, so
// a code allows the instrument its own week or any later one and nothing more.
// The package promises no year of an instrument: it intersects what each piece
// of evidence allows, and where nothing is left it names the pieces that cannot
// stand together.
package dating
