package export

import (
	"regexp"
	"runtime/debug"
)

// Tool is the name under which files say what made them.
const Tool = "claspwright"

// pseudo is the tail of a version that the go command invents from a commit: it holds a date, and the same source
// would then write different bytes depending on how it was built.
var pseudo = regexp.MustCompile(`\d{14}-[0-9a-f]{12}`)

// Version is the released version that this program was built from, or "(devel)".
func Version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "(devel)"
	}
	return stable(info.Main.Version)
}

func stable(v string) string {
	if v == "" || pseudo.MatchString(v) {
		return "(devel)"
	}
	return v
}

func signature() string { return Tool + " " + Version() }
