//go:build !ci

package ui

// HasWindow tells whether this build can open a window. The tag ci puts a
// driver without a display behind Fyne, for tests and for builds of the verbs
// alone.
const HasWindow = true
