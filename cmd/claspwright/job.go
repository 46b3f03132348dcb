package main

import (
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"claspwright/params"
)

// shorthand are the keys that have a flag of their own; the help comes from the key table.
var shorthand = []struct{ flag, key string }{
	{"width", "chain.width"}, {"thickness", "chain.thickness"}, {"alloy", "metal.alloy"}, {"crown", "chain.crown"},
}

// jobFlags are the job as far as flags give it. Values stay text: the key table knows what they are.
type jobFlags struct {
	short  [4]string // as shorthand
	caster string    // file with the caster's profile
	sets   []string
}

func (s *session) jobFlags(cmd *cobra.Command) {
	f := cmd.Flags()
	for i, h := range shorthand {
		k, _ := params.Lookup(h.key)
		f.StringVar(&s.job.short[i], h.flag, "", usage(k))
	}
	f.StringVar(&s.job.caster, "caster", "", "the caster's profile, a `file`; over casting.profile of the job")
	f.StringArrayVar(&s.job.sets, "set", nil, "override a key, as in `key=value`; may be repeated, the last counts")
	f.BoolVar(&s.json, "json", false, "print one JSON document instead of text, errors too")
	f.SortFlags = false
	cmd.Args = oneJob
}

// load reads the job: the file if there is one, over it the shorthand flags, over these --set.
func (s *session) load(flags *pflag.FlagSet, args []string) (*params.Job, error) {
	var sets []string
	for i, h := range shorthand {
		if flags.Changed(h.flag) {
			sets = append(sets, h.key+"="+s.job.short[i])
		}
	}
	if flags.Changed("caster") {
		sets = append(sets, "casting.profile="+s.job.caster)
	}
	path := ""
	if len(args) == 1 {
		path = args[0]
	}
	return params.Load(path, append(sets, s.job.sets...))
}

// usage is the help of a key. The word in back quotes stands behind the flag's name.
func usage(k params.Key) string {
	if k.Kind != params.Number {
		return k.Meaning
	}
	return k.Meaning + " (" + strings.Replace(k.Range(), k.Unit, "`"+k.Unit+"`", 1) + ")"
}
