package dating

// source is one number of the EIA's list of source codes.
type source struct {
	name string
	read bool // read on a page of the list; otherwise from memory of it
}

// sources are the few numbers whose owner is known here. The list itself (EIA
// Source Codes, kept by the Electronic Components Industry Association) has
// thousands; a number that is missing here is decoded all the same.
var sources = map[string]source{
	"137": {"CTS", true},
	"304": {"Stackpole", false},
	"134": {"Centralab", false},
	"140": {"Clarostat", false},
	"106": {"Allen-Bradley", false},
}
