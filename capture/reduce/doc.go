// Package reduce makes small upright previews of photographs quickly and within bounded memory, in plain Go.
//
// Start at Previews, which makes every size in one decoding pass, or at Decode for the whole picture. Ordinary
// JPEGs (Huffman-coded, sequential, 8 bits, grey or YCbCr) are read by a decoder of our own that produces the
// reduced size straight from the DCT coefficients, row by row, so that the full picture never lies in memory.
// Progressive, CMYK and RGB JPEGs and all PNGs go through the standard library and are reduced afterwards.
//
// What it does not promise: it knows nothing of colour profiles (numbers are passed on as they are), it reads no
// metadata (the caller brings the orientation), and damage that still decodes as valid codes is not noticed.
// One call keeps one core busy; bounding how many run at once is up to the caller.
package reduce
