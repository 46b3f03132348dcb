package main

import (
	"fmt"
	"io"
	"os"

	"golang.org/x/term"
)

// progress is a line on the terminal that says what is being done. Away from a terminal it is silent.
type progress struct{ w io.Writer }

func newProgress(talk io.Writer) *progress {
	if f, ok := talk.(*os.File); ok && term.IsTerminal(int(f.Fd())) && os.Getenv("TERM") != "dumb" {
		return &progress{talk}
	}
	return &progress{io.Discard}
}

// wipe goes to the start of the line and clears it.
const wipe = "\r\x1b[K"

func (p *progress) line(what string) { fmt.Fprintf(p.w, "%s%s ...", wipe, what) }

func (p *progress) clear() { fmt.Fprint(p.w, wipe) }
