package params

import (
	"fmt"
	"math/big"
	"strings"
)

// RunJob is one lock of a run.
type RunJob struct {
	Name  string // of its folder: small letters, digits, dots and hyphens, different from all others of the run
	Job   *Job   // nil when Err is not
	Err   error  // Problems: keys that contradict each other in this lock
	given []setting
}

// setting is one key with its value.
type setting struct {
	key   Key
	value value
}

// Value is a key's value in this lock, also when the lock has an error: its number in the key's unit, or its text. ok is
// false when the run does not give it.
func (j RunJob) Value(key string) (number float64, text string, ok bool) {
	for _, s := range j.given {
		if s.key.Name == key {
			return s.value.number, s.value.text, true
		}
	}
	return 0, "", false
}

// Jobs are the locks of the run in their order: the rows of a list, or all combinations, keys in the order of the key table,
// the last one turning fastest, values in the order in which they were given.
func (r *Run) Jobs() []RunJob {
	jobs := make([]RunJob, r.Len())
	for i, name := range r.Names() {
		jobs[i] = r.job(i)
		jobs[i].Name = name
	}
	return jobs
}

// Names are the names of the locks' folders, in the order of the locks.
func (r *Run) Names() []string {
	names, taken := make([]string, r.Len()), map[string]bool{}
	for i, w := range r.rows {
		if w.name != "" {
			names[i] = unique(folderOf(w.name), taken)
		}
	}
	for i := range names {
		if names[i] == "" {
			names[i] = unique(r.nameOf(RunJob{given: r.settled(r.chosen(i))}), taken)
		}
	}
	return names
}

// Job is lock i without its name, made anew at each call, so that a long run need not hold all its locks.
func (r *Run) Job(i int) RunJob { return r.job(i) }

// settled are the values of one lock in the order of the key table.
func (r *Run) settled(chosen map[string]option) (out []setting) {
	for _, k := range keys {
		if _, ok := chosen[k.Name]; ok {
			out = append(out, setting{k, settle(chosen, k)})
		}
	}
	return out
}

// job is the i-th lock.
func (r *Run) job(i int) RunJob {
	chosen := r.chosen(i)
	var problems Problems
	out := RunJob{given: r.settled(chosen)}
	j := &Job{given: map[string]value{}}
	for _, s := range out.given {
		if f := s.key.outside(s.value.number, entry{sort: asNumber}); s.key.Kind == Number && f != nil {
			p := chosen[s.key.Name].part
			problems = append(problems, Problem{File: s.value.file, Line: s.value.line, Key: s.key.Name, Value: p.digits + " of " + p.of,
				Say: "(" + s.key.with(s.value.number) + ") " + f.say, Hint: "change the share, or " + p.of})
		}
		j.given[s.key.Name] = s.value
	}
	if v, ok := j.given["casting.profile"]; ok {
		j.caster = r.casters[v.text]
	}
	if len(problems) == 0 {
		problems = j.contradictions()
	}
	if out.Err = problems.orNil(); out.Err == nil {
		out.Job = j
	}
	return out
}

// settle is the value of a key in one combination; shares have been checked not to go round in a circle. A share of a
// decimal is a decimal: the product is exact and rounded once.
func settle(chosen map[string]option, k Key) value {
	o, ok := chosen[k.Name]
	if !ok {
		return value{number: k.Default}
	}
	if o.part == nil {
		return o.value
	}
	base := settle(chosen, known(o.part.of)).number
	x, y := ratio(plain(base), ""), ratio(o.part.digits, "")
	v := o.value
	v.number, _ = x.Mul(x, y).Float64()
	return v
}

// longest name of a folder, so that the paths in it stay short for every file system.
const maxName = 80

// nameOf is width, thickness and alloy, and then every other key that varies.
func (r *Run) nameOf(j RunJob) string {
	w, _, _ := j.Value("chain.width")
	t, _, _ := j.Value("chain.thickness")
	_, alloy, _ := j.Value("metal.alloy")
	parts := []string{inName(w) + "x" + inName(t), slug(alloy)}
	for _, k := range r.varied {
		switch k.Name {
		case "chain.width", "chain.thickness", "metal.alloy":
			continue
		}
		n, text, ok := j.Value(k.Name)
		if !ok {
			continue // of a list, some of whose rows leave it out
		}
		if k.Kind == Number {
			text = inName(n)
		}
		parts = append(parts, slug(strings.ReplaceAll(k.Name, ".", "-")), slug(text))
	}
	return cut(strings.Join(parts, "-"))
}

// cut makes a name short enough.
func cut(name string) string {
	if len(name) > maxName {
		name = name[:maxName]
	}
	return strings.TrimRight(name, ".-")
}

// inName is a number with at most four decimals; what is closer together gets a counter.
func inName(v float64) string {
	text := new(big.Rat).SetFloat64(v)
	if text == nil {
		return "0"
	}
	s := text.FloatString(4)
	return strings.TrimRight(strings.TrimRight(s, "0"), ".")
}

// slug keeps letters, digits and dots of a text; everything else becomes a hyphen.
func slug(text string) string {
	s := strings.Map(func(c rune) rune {
		switch {
		case c >= 'a' && c <= 'z', c >= '0' && c <= '9', c == '.':
			return c
		}
		return ' '
	}, strings.ToLower(text))
	return strings.Join(strings.Fields(s), "-")
}

// unique adds a counter to a name that is taken.
func unique(name string, taken map[string]bool) string {
	out := name
	for n := 2; taken[out]; n++ {
		out = fmt.Sprintf("%s-%d", name, n)
	}
	taken[out] = true
	return out
}
