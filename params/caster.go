package params

import (
	"fmt"
	"maps"
	"math"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Caster is a caster's profile: what a casting house does with one alloy, kept by the user in a TOML file of its own. Its
// keys are those of the job that belong to casting and stock; a job that names the profile takes from it what it does not
// give itself. It does not change.
type Caster struct {
	file    string
	values  map[string]value // of casting.* and stock.*
	about   map[string]value // of profile.*
	earlier []Earlier
}

// Earlier is what a profile held before it was changed.
type Earlier struct {
	Until string // the day of the change, YYYY-MM-DD
	Why   string // what the change rests on, "" for nothing said
	Was   []Setting
}

// Setting is a key of a profile with its value.
type Setting struct {
	Key    string
	Number float64
	Text   string // of a choice
}

// about are the keys of a profile that are none of a job: what it is about, and the stock that shall stand on a casting
// when it comes back, which is what was drawn before learn found more or less on it.
var about = append(aboutHouse, wantedStock()...)

func wantedStock() (out []Key) {
	for _, k := range keys {
		if kind, ok := strings.CutPrefix(k.Name, "stock."); ok {
			k.Name, k.Rule, k.Default = WantedStock+kind, "as stock."+kind, math.NaN()
			k.Meaning = "stock wanted, as it comes back, on " + strings.TrimPrefix(k.Meaning, "metal left for filing and polishing on ")
			out = append(out, k)
		}
	}
	return out
}

// WantedStock begins the profile's keys of the stock that is wanted; the kind of surface follows.
const WantedStock = "wanted."

var aboutHouse = []Key{
	{Name: "profile.house", Kind: Text, Example: `"the foundry by the mill"`, Meaning: "who casts", Source: practice},
	{Name: "profile.alloy", Kind: Text, Example: `"au750-yellow"`, Meaning: "alloy that the values hold for, an id of the alloy table or a composition", Source: practice},
	{Name: "profile.date", Kind: Text, Example: `"2026-03-01"`, Meaning: "day on which the values were set, YYYY-MM-DD", Source: practice},
	{Name: "profile.files", Kind: Text, Example: `"STL"`, Meaning: "kinds of file that the house takes", Source: practice},
	{Name: "profile.remark", Kind: Text, Example: `"gates on the underside"`, Meaning: "what else the house asks for; it stands on the order", Source: practice},
}

// profileKey is a row of what a profile may hold.
func profileKey(name string) (Key, bool) {
	for _, k := range about {
		if k.Name == name {
			return k, true
		}
	}
	k, ok := Lookup(name)
	return k, ok && ofCaster(name)
}

// ofCaster says whether a job key is the caster's business.
func ofCaster(name string) bool {
	return name != "casting.profile" && (strings.HasPrefix(name, "casting.") || strings.HasPrefix(name, "stock."))
}

// ProfileKeys lists what a profile may hold: what it is about first, then the keys that it has in common with a job.
func ProfileKeys() []Key {
	out := slices.Clone(about)
	for _, k := range Keys() {
		if ofCaster(k.Name) {
			out = append(out, k)
		}
	}
	return out
}

// LoadCaster reads a profile. It fails with Problems, or with an error that wraps that of the file system.
func LoadCaster(path string) (*Caster, error) {
	data, err := slurp(path, "profile")
	if err != nil {
		return nil, err
	}
	return ParseCaster(path, data)
}

// profileGroups are the tables of a profile; beside them it may have earlierList.
var profileGroups = []string{"profile", "wanted", "casting", "stock"}

const earlierList = "earlier"

// ParseCaster is LoadCaster for a file that has been read already; name is what problems call it.
func ParseCaster(name string, data []byte) (*Caster, error) {
	entries, problems, _ := readTables(name, data, profileGroups, []string{earlierList})
	c := &Caster{file: name, values: map[string]value{}, about: map[string]value{}}
	for _, e := range entries {
		if p := c.take(e); p != nil {
			problems = append(problems, *p)
		}
	}
	if len(problems) == 0 {
		problems = c.nonsense()
	}
	problems.inOrder()
	if err := problems.orNil(); err != nil {
		return nil, err
	}
	return c, nil
}

// take judges one entry and keeps its value.
func (c *Caster) take(e entry) *Problem {
	if rest, ok := strings.CutPrefix(e.name, earlierList+"."); ok && !isProfile(e.name) {
		return c.takeEarlier(e, rest)
	}
	k, v, p := judgeProfile(e)
	switch {
	case p != nil:
		return p
	default:
		c.of(k.Name)[k.Name] = v
	}
	return nil
}

// of is where the value of a key is kept.
func (c *Caster) of(name string) map[string]value {
	if ofCaster(name) {
		return c.values
	}
	return c.about
}

func isProfile(name string) bool { _, ok := profileKey(name); return ok }

// judgeProfile reads one entry by its row.
func judgeProfile(e entry) (Key, value, *Problem) {
	k, ok := profileKey(e.name)
	if !ok {
		p := &Problem{File: e.file, Line: e.line, Key: shorten(e.name), Say: "is not a key of a caster's profile", Hint: nearestProfileKey(e.name)}
		if _, job := Lookup(e.name); job {
			p.Hint = "it belongs into the job file"
		}
		return k, value{}, p
	}
	v, p := k.judge(e)
	if p == nil {
		p = judgeAbout(k, e, v)
	}
	return k, v, p
}

// judgeAbout judges what the kinds of key alone do not tell of the profile's own keys.
func judgeAbout(k Key, e entry, v value) *Problem {
	switch k.Name {
	case "profile.alloy":
		if _, f := alloy(v.text); f != nil {
			return e.wrong(f.say, f.hint)
		}
	case "profile.date":
		return day(e, v.text)
	}
	return nil
}

var dayForm = regexp.MustCompile(`^\d{4}-\d{2}-\d{2}$`)

// IsDay says whether a text is a day, YYYY-MM-DD.
func IsDay(text string) bool {
	_, err := time.Parse(time.DateOnly, text)
	return err == nil && dayForm.MatchString(text)
}

func day(e entry, text string) *Problem {
	if IsDay(text) {
		return nil
	}
	return e.wrong("is not a day", "write year, month and day in quotes, such as \"2026-03-01\"")
}

func nearestProfileKey(typed string) string {
	var names []string
	for _, k := range ProfileKeys() {
		names = append(names, k.Name)
	}
	if near := nearest(typed, names); near != "" {
		return "the nearest key is " + near
	}
	last := typed[strings.LastIndex(typed, ".")+1:]
	for _, n := range names {
		if strings.HasSuffix(n, "."+strings.ToLower(last)) {
			return "the nearest key is " + n
		}
	}
	return "a profile holds keys of " + all(profileGroups) + "; the command keys lists those of casting and stock"
}

// takeEarlier keeps a value of one of the lists of earlier values; rest is "1.casting.growth".
func (c *Caster) takeEarlier(e entry, rest string) *Problem {
	place, key, _ := strings.Cut(rest, ".")
	n, err := strconv.Atoi(place)
	if err != nil || n < 1 || n > len(c.earlier)+1 {
		return e.wrong("is not a key of a caster's profile", "write [["+earlierList+"]] in double brackets")
	}
	if n > len(c.earlier) {
		c.earlier = append(c.earlier, Earlier{})
	}
	was := &c.earlier[n-1]
	one := e
	one.name = key
	switch key {
	case "until", "why":
		v, p := Key{Name: e.name, Kind: Text, Example: `"2026-03-01"`}.judge(e)
		if p != nil {
			return p
		}
		if key == "why" {
			was.Why = v.text
			return nil
		}
		was.Until = v.text
		return day(e, v.text)
	}
	k, v, p := judgeProfile(one)
	if p != nil {
		return p
	}
	was.Was = append(was.Was, Setting{k.Name, v.number, v.text})
	return nil
}

// leastFill is the thinnest wall that a profile's stock is held against when it names none, mm: the least of any metal.
const leastFill = 0.5

// nonsense is what the values of a profile say against each other.
func (c *Caster) nonsense() (problems Problems) {
	wall, known := c.Number("casting.wall")
	if !known {
		wall = leastFill
	}
	for _, k := range Keys() {
		v, ok := c.values[k.Name]
		if !ok || k.group() != "stock" || v.number < wall {
			continue
		}
		problems = append(problems, Problem{File: v.file, Line: v.line, Key: k.Name, Value: k.with(v.number),
			Say: fmt.Sprintf("is as thick as the least wall, %s mm, or thicker", plain(wall)), Hint: "give less, such as " + k.Example})
	}
	for i, was := range c.earlier {
		if was.Until == "" {
			problems = append(problems, Problem{File: c.file, Key: fmt.Sprintf("%s.%d.until", earlierList, i+1), Say: "is not given", Hint: "write the day until which these values held"})
		}
	}
	if g, ok := c.values["casting.grade"]; ok && g.number != float64(int(g.number)) {
		problems = append(problems, Problem{File: g.file, Line: g.line, Key: "casting.grade", Value: plain(g.number), Say: "is not a whole number", Hint: "the grades of ISO 8062-3 are 1, 2, 3 and so on"})
	}
	return problems
}

// Number is the value of a number key and whether the profile gives it.
func (c *Caster) Number(key string) (float64, bool) {
	v, ok := c.of(key)[key]
	return v.number, ok
}

// Text is the value of a choice, or of a key of the profile's own, and whether the profile gives it.
func (c *Caster) Text(key string) (string, bool) {
	v, ok := c.of(key)[key]
	return v.text, ok
}

// File is what the profile was read from.
func (c *Caster) File() string { return c.file }

// Earlier is what the profile held before, the oldest first.
func (c *Caster) Earlier() []Earlier { return slices.Clone(c.earlier) }

// Changed is the profile with other values from a day on. What they replace is kept with that day and the reason; a
// value that the profile did not have before has nothing to keep. It fails with Problems.
func (c *Caster) Changed(to []Setting, date, why string) (*Caster, error) {
	out := &Caster{file: c.file, values: maps.Clone(c.values), about: maps.Clone(c.about), earlier: slices.Clone(c.earlier)}
	was := Earlier{Until: date, Why: why}
	for _, s := range to {
		if old, ok := c.of(s.Key)[s.Key]; ok {
			was.Was = append(was.Was, Setting{s.Key, old.number, old.text})
		}
		out.of(s.Key)[s.Key] = value{number: s.Number, text: s.Text}
	}
	if old, ok := c.about["profile.date"]; ok && len(was.Was) > 0 {
		was.Was = append(was.Was, Setting{Key: "profile.date", Text: old.text})
	}
	out.about["profile.date"] = value{text: date}
	if len(was.Was) > 0 {
		out.earlier = append(out.earlier, was)
	}
	return ParseCaster(c.file, out.TOML()) // so that nothing is written that would not be read
}

// TOML is the profile as a file: what it is about, its values in the order of the table, and the earlier ones.
func (c *Caster) TOML() []byte {
	var b strings.Builder
	b.WriteString("# Caster's profile: lengths in mm, masses in g. A job names it with casting.profile; what the job gives itself wins.\n")
	section := ""
	for _, k := range ProfileKeys() {
		v, ok := c.of(k.Name)[k.Name]
		if !ok {
			continue
		}
		if g := k.group(); g != section {
			fmt.Fprintf(&b, "\n[%s]\n", g)
			section = g
		}
		_, last, _ := strings.Cut(k.Name, ".")
		fmt.Fprintf(&b, "%s = %s\n", last, k.toml(v))
	}
	for _, e := range c.earlier {
		fmt.Fprintf(&b, "\n[[%s]]\nuntil = %s\n", earlierList, quoted(e.Until))
		if e.Why != "" {
			fmt.Fprintf(&b, "why = %s\n", quoted(e.Why))
		}
		for _, s := range e.Was {
			k, _ := profileKey(s.Key)
			fmt.Fprintf(&b, "%s = %s\n", s.Key, k.toml(value{number: s.Number, text: s.Text}))
		}
	}
	return []byte(b.String())
}

// toml is a value as a file holds it.
func (k Key) toml(v value) string {
	if k.Kind == Number {
		return plain(v.number)
	}
	return quoted(v.text)
}

// beside is a path that a file names, seen from the folder of that file.
func beside(file, path string) string {
	if file == "" || filepath.IsAbs(path) {
		return path
	}
	return filepath.Join(filepath.Dir(file), path)
}
