package trace

var devDump = func(name string, mask []bool, w, h int) {}
