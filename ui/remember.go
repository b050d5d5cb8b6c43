package ui

import (
	"os"
	"path/filepath"
	"strings"
)

// The bench opened last is remembered in a small file of its own. It is a
// convenience: losing it loses nothing.
func memoPath() string {
	dir, err := os.UserConfigDir()
	if err != nil {
		return ""
	}
	return filepath.Join(dir, "wornwood", "last-bench")
}

func lastBench() string {
	b, err := os.ReadFile(memoPath())
	if err != nil || len(b) > 4096 {
		return ""
	}
	dir := strings.TrimSpace(string(b))
	if st, err := os.Stat(dir); err != nil || !st.IsDir() {
		return ""
	}
	return dir
}

func rememberBench(dir string) {
	p := memoPath()
	abs, err := filepath.Abs(dir)
	if p == "" || err != nil || os.MkdirAll(filepath.Dir(p), 0o700) != nil {
		return
	}
	// An error here only means that the next start asks which bench to open.
	_ = os.WriteFile(p, []byte(abs+"\n"), 0o600)
}
