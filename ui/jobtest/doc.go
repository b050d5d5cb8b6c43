// Package jobtest carries the whole main job out on files that this program
// did not make: photos of 48 cameras, a photo of 24 megapixels, cut-out photos
// of instruments, and what else lies in a dealer's folder.
//
// It holds tests only. Start with job_test.go, which is one job from import to
// verified report through the same bench, session and report code as window
// and verbs, and says what every report must hold. The files are read where
// their packages put them and are never copied into this repository; a package
// or tool that is missing fails the test with the name to install. What the
// photos show (they are not of the instrument that is entered) plays no part.
package jobtest
