//go:build ci

package ui

// HasWindow tells whether this build can open a window; this one cannot.
const HasWindow = false
