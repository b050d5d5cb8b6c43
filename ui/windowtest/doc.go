// Package windowtest drives the real window by mouse and keyboard, under a
// virtual screen with a window manager, and holds nothing else.
//
// Start with job_test.go, the main job from a new bench to a verified report.
// whole_test.go fills a complete examination and counts what the hand does.
// Everything is behind the build tag window: `make windowtest` builds the
// program and runs it. The tests look at three things only: what is on the
// screen, what the bench has on disk, and what the verbs say. Nothing waits for
// a fixed time; every wait asks for a condition until a deadline.
//
// What they do not promise: a graphics card (drawing is done in software), any
// other window manager, or that texts are well set; the screen tests in ui look
// at every text in the in-memory driver.
package windowtest
