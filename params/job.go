package params

import (
	"fmt"
	"io"
	"maps"
	"math"
	"os"
	"strings"
)

// Job is what was asked for: the given keys, read, in range and free of contradictions. It does not change.
type Job struct {
	given  map[string]value
	caster *Caster // the profile that the job names; nil without
}

// Resolved is one key of a finished job with where its value came from.
type Resolved struct {
	Key    string
	Number float64 // in Unit, when IsText is false
	Text   string
	IsText bool
	Unit   string
	Origin string // "given", ByCaster, "default", or "rule: " and the rule
}

// Load reads a job file, "" for none, and overrides it with sets of the form "key=value", the last one winning. It
// fails with Problems when the input is wrong, and with an error that wraps that of the file system when the file
// cannot be read. A caster's profile that the job names is read too, from beside the job file, or from here when a set names it.
func Load(path string, sets []string) (*Job, error) {
	var data []byte
	if path != "" {
		var err error
		if data, err = slurp(path, "job"); err != nil {
			return nil, err
		}
	}
	j, err := Parse(path, data, sets)
	if err != nil {
		return nil, err
	}
	v, ok := j.given["casting.profile"]
	if !ok {
		return j, nil
	}
	c, err := LoadCaster(beside(v.file, v.text))
	if err != nil {
		return nil, err
	}
	return j.From(c)
}

// From is the job with what it does not give itself taken from a caster's profile. It fails with Problems where the two
// contradict each other.
func (j *Job) From(c *Caster) (*Job, error) {
	out := &Job{given: j.given, caster: c}
	if err := out.contradictions().orNil(); err != nil {
		return nil, err
	}
	return out, nil
}

// Caster is the profile that the job was given, nil for none.
func (j *Job) Caster() *Caster { return j.caster }

// ByCaster is the origin of a value that a caster's profile gave.
const ByCaster = "caster's profile"

// Origin says where the value of a key comes from: "given", ByCaster, or "" when it is left to the key's default or rule.
func (j *Job) Origin(key string) string {
	if _, ok := j.given[key]; ok {
		return "given"
	}
	if _, ok := j.lookup(key); ok {
		return ByCaster
	}
	return ""
}

// lookup is the value of a key that the job gives, or its caster's profile. A growth that the job gives for all axes
// stands over those of the profile for each.
func (j *Job) lookup(key string) (value, bool) {
	if v, ok := j.given[key]; ok {
		return v, true
	}
	if j.caster == nil {
		return value{}, false
	}
	if _, all := j.given["casting.growth"]; all && strings.HasPrefix(key, "casting.growth_") {
		return value{}, false
	}
	if strings.HasPrefix(key, "casting.growth") && j.scaledByHouse() { // the profile's growth is then the house's own
		return value{}, false
	}
	if key == "casting.gate" || key == "casting.gate_length" {
		if by, _ := j.Text("casting.gate_by"); by == "modulus" { // finds them for each part
			return value{}, false
		}
	}
	v, ok := j.caster.values[key]
	return v, ok
}

// scaledByHouse says whether the caster allows for shrinkage, so that the pattern must not.
func (j *Job) scaledByHouse() bool {
	word, _ := j.Text("casting.scales")
	return word == "house"
}

// slurp reads a file, what it is being told in the error, up to a byte more than any may have.
func slurp(path, what string) ([]byte, error) { return slurpUpTo(path, what, maxBytes) }

func slurpUpTo(path, what string, most int64) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("the %s file cannot be read: %w", what, err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, most+1))
	if err != nil {
		return nil, fmt.Errorf("the %s file cannot be read: %w", what, err)
	}
	return data, nil
}

// Parse is Load for a job file that has been read already; name is what problems call it.
func Parse(name string, data []byte, sets []string) (*Job, error) {
	entries, problems, whole := readWith(name, data, sets)
	j := &Job{given: map[string]value{}}
	problems = append(problems, j.take(entries)...)
	if whole { // what stands behind a broken line is unknown, and so what is missing
		problems = append(problems, j.missing(name, entries)...)
	}
	if len(problems) == 0 {
		problems = j.contradictions()
	}
	problems.inOrder()
	if err := problems.orNil(); err != nil {
		return nil, err
	}
	return j, nil
}

// readWith reads a file's entries and puts those of the command line behind them, so that they win.
func readWith(name string, data []byte, sets []string) (entries []entry, problems Problems, whole bool) {
	entries, problems, whole = read(name, data)
	entries, problems = withSets(entries, problems, sets)
	return entries, problems, whole
}

// withSets puts entries of the command line behind others.
func withSets(entries []entry, problems Problems, sets []string) ([]entry, Problems) {
	for _, s := range sets {
		e, p := override(s)
		if p != nil {
			problems = append(problems, *p)
			continue
		}
		entries = append(entries, e)
	}
	return entries, problems
}

// override takes a set of the command line apart.
func override(set string) (entry, *Problem) {
	name, raw, ok := strings.Cut(set, "=")
	name = strings.TrimSpace(name)
	if !ok || name == "" {
		return entry{}, &Problem{Key: "--set", Value: shorten(set), Say: "is not of the form key=value", Hint: "write --set chain.width=12.4"}
	}
	return entry{name: name, sort: asWord, raw: strings.TrimSpace(raw)}, nil
}

// take judges entries and keeps their values, later ones over earlier ones.
func (j *Job) take(entries []entry) (problems Problems) {
	for _, e := range entries {
		v, p := judge(e)
		if p != nil {
			problems = append(problems, *p)
			continue
		}
		j.given[e.name] = v
	}
	return problems
}

// missing names the required keys that were not given at all; a wrong value has been told already.
func (j *Job) missing(file string, entries []entry) (problems Problems) {
	tried := map[string]bool{}
	for _, e := range entries {
		tried[e.name] = true
	}
	for _, k := range keys {
		if k.Required && !tried[k.Name] {
			problems = append(problems, Problem{File: file, Key: k.Name, Say: fmt.Sprintf("is not given; give --%s or %s = %s", k.Flag, k.Name, k.Example)})
		}
	}
	return problems
}

// Number is the value of a number key in the key's unit and whether it was given, by the job or its caster's profile. When it was not, the value is the
// table's default, or NaN when the key has a rule instead or holds no number. The key must be one of the table.
func (j *Job) Number(key string) (float64, bool) {
	k := known(key)
	if v, ok := j.lookup(key); ok && k.Kind == Number {
		return v.number, true
	}
	if k.Kind != Number {
		return math.NaN(), false
	}
	return k.Default, false
}

// Text is the value of a choice or a text key and whether it was given, by the job or its caster's profile. When it was not, the value is the table's
// default, or "" when the key has a rule instead or holds no text. The key must be one of the table.
func (j *Job) Text(key string) (string, bool) {
	k := known(key)
	if v, ok := j.lookup(key); ok && k.Kind != Number {
		return v.text, true
	}
	return k.Word, false
}

// known is a key that a program asks for. A name that is not in the table is a mistake in the program.
func known(key string) Key {
	k, ok := Lookup(key)
	if !ok {
		panic("params: no key " + key)
	}
	return k
}

// With is a copy of the job with keys overridden, each set of the form "key=value". It fails with Problems.
func (j *Job) With(sets ...string) (*Job, error) {
	c := &Job{given: maps.Clone(j.given), caster: j.caster}
	var problems Problems
	for _, s := range sets {
		e, p := override(s)
		if p != nil {
			problems = append(problems, *p)
			continue
		}
		problems = append(problems, c.take([]entry{e})...)
	}
	if len(problems) == 0 {
		problems = c.contradictions()
	}
	if err := problems.orNil(); err != nil {
		return nil, err
	}
	return c, nil
}

// TOML is the job as it was given, one line a key in the order of the table, numbers in the unit of their key. Parse
// gives the same job back.
func (j *Job) TOML() []byte {
	var b strings.Builder
	for _, k := range keys {
		v, ok := j.given[k.Name]
		switch {
		case !ok:
		case k.Kind == Number:
			fmt.Fprintf(&b, "%s = %s\n", k.Name, plain(v.number))
		default:
			fmt.Fprintf(&b, "%s = %s\n", k.Name, quoted(v.text))
		}
	}
	return []byte(b.String())
}

// quoted is a TOML basic string of printable text.
func quoted(s string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(s) + `"`
}
