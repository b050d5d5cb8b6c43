package sound

import "errors"

// Microphone is a device that sound can be recorded from.
type Microphone struct {
	Name    string
	Default bool // the one that the system takes when none is named
}

// ErrNoRecording is what Microphones and Record return in a build without the
// sound library.
var ErrNoRecording = errors.New("this build records nothing; choose a recording instead")
