package export

import (
	"io"

	"claspwright/params"
)

// Trouble is one thing that went wrong, as programs read it.
type Trouble struct {
	Say  string `json:"message"`
	Hint string `json:"hint,omitempty"` // what to do about it
	File string `json:"file,omitempty"` // where the input has it
	Line int    `json:"line,omitempty"`
	Col  int    `json:"column,omitempty"` // of a list
	Key  string `json:"key,omitempty"`
	Val  string `json:"value,omitempty"`
}

// WriteTroubles writes what went wrong, and the exit code that goes with it, as one JSON document.
func WriteTroubles(w io.Writer, exit int, list []Trouble) error {
	return writeJSON(w, struct {
		SchemaVersion int       `json:"schema_version"`
		Tool          string    `json:"tool"`
		Exit          int       `json:"exit"`
		Errors        []Trouble `json:"errors"`
	}{schemaVersion, signature(), exit, list})
}

// TroubleOf is a problem of the input.
func TroubleOf(p params.Problem) Trouble {
	return Trouble{Say: p.Text(), Hint: p.Hint, File: p.File, Line: p.Line, Col: p.Column, Key: p.Key, Val: p.Value}
}
