package export

import (
	"fmt"
	"io"
	"strings"

	"claspwright/params"
)

// WriteKeys writes every key: its range and unit, what holds when it is not given, and what it means.
func WriteKeys(w io.Writer, keys []params.Key) error {
	var b strings.Builder
	for _, k := range keys {
		fmt.Fprintf(&b, "%-20s %s; %s\n", k.Name, k.Range(), otherwise(k))
		for _, line := range wrap(k.Meaning, sheetWidth-21) {
			fmt.Fprintf(&b, "%-20s   %s\n", "", line)
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func otherwise(k params.Key) string {
	switch {
	case k.Required:
		return "must be given"
	case k.Rule != "":
		return "else by rule: " + k.Rule
	}
	return "else " + k.Otherwise()
}

// WriteKeysJSON writes the key table for programs: an editor's form, say.
func WriteKeysJSON(w io.Writer, keys []params.Key) error {
	rows := make([]object, 0, len(keys))
	for _, k := range keys {
		rows = append(rows, keyRow(k))
	}
	return writeJSON(w, object{{"schema_version", schemaVersion}, {"tool", signature()}, {"keys", rows}})
}

func keyRow(k params.Key) object {
	row := object{{"key", k.Name}, {"kind", string(k.Kind)}, {"unit", k.Unit}}
	switch k.Kind {
	case params.Number:
		row = append(row, entry{"least", figure(k.Min)}, entry{"greatest", figure(k.Max)})
	case params.Choice:
		row = append(row, entry{"choices", k.Choices})
	}
	return append(row, entry{"required", k.Required}, entry{"otherwise", k.Otherwise()}, entry{"meaning", k.Meaning},
		entry{"source", k.Source})
}
