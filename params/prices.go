package params

import (
	"fmt"
	"math/big"
	"regexp"
	"strings"
)

// Prices are the user's own, read exactly. None is built in.
type Prices struct {
	Date, Currency string // day of the metal prices; what money is called, as it is printed
	money          map[string]*big.Rat
}

// priceKeys are the keys that are none of a metal.
var priceKeys = []struct{ name, meaning string }{
	{"caster.order", "caster's fee for an order"},
	{"caster.piece", "caster's fee for a casting"},
	{"caster.gram", "caster's fee for a gram that is cast"},
	{"labour.hour", "an hour at the bench"},
	{"labour.hours", "hours at the bench for a lock"},
	{"setting.stone", "setting of a stone"},
	{"setting.stones", "stones of a lock"},
	{"other.amount", "whatever else"},
}

var priceGroups = []string{"prices", "metal", "element", "caster", "labour", "setting", "other"}

var moneyForm = regexp.MustCompile(`^\d{1,9}(\.\d{1,6})?$`)

// LoadPrices reads a file of prices. It fails with Problems.
func LoadPrices(path string) (*Prices, error) {
	data, err := slurp(path, "prices")
	if err != nil {
		return nil, err
	}
	return ParsePrices(path, data)
}

// ParsePrices is LoadPrices for a file that has been read already.
func ParsePrices(name string, data []byte) (*Prices, error) {
	entries, problems, _ := readTables(name, data, priceGroups, nil)
	p := &Prices{money: map[string]*big.Rat{}}
	metal := false
	for _, e := range entries {
		if bad := p.take(e); bad != nil {
			problems = append(problems, *bad)
		}
		metal = metal || strings.HasPrefix(e.name, "metal.") || strings.HasPrefix(e.name, "element.")
	}
	if len(problems) == 0 && metal && p.Date == "" {
		problems = append(problems, Problem{File: name, Key: "prices.date", Say: "is not given", Hint: "metal prices change by the day: write prices.date = \"2026-06-01\""})
	}
	problems.inOrder()
	if err := problems.orNil(); err != nil {
		return nil, err
	}
	return p, nil
}

func (p *Prices) take(e entry) *Problem {
	switch e.name {
	case "prices.date", "prices.currency":
		v, bad := Key{Name: e.name, Kind: Text, Example: map[string]string{"prices.date": `"2026-06-01"`, "prices.currency": `"EUR"`}[e.name]}.judge(e)
		if bad != nil {
			return bad
		}
		if e.name == "prices.currency" {
			p.Currency = v.text
			return nil
		}
		p.Date = v.text
		return day(e, v.text)
	}
	if bad := priceKey(e); bad != nil {
		return bad
	}
	text := strings.TrimSpace(e.raw)
	if e.sort == asOther || !moneyForm.MatchString(text) {
		return e.wrong("is not an amount", "write a number such as 38.50: at most nine digits and six decimals, not negative, no unit")
	}
	v, ok := new(big.Rat).SetString(text)
	if !ok {
		return e.wrong("is not an amount", "write a number such as 38.50")
	}
	p.money[e.name] = v
	return nil
}

// priceKey says what is wrong with the name of a price.
func priceKey(e entry) *Problem {
	group, rest, _ := strings.Cut(e.name, ".")
	switch group {
	case "metal":
		if _, f := alloy(rest); f != nil {
			return &Problem{File: e.file, Line: e.line, Key: shorten(e.name), Say: f.say, Hint: f.hint}
		}
		return nil
	case "element":
		if _, known := elementNamed(rest); !known {
			return &Problem{File: e.file, Line: e.line, Key: shorten(e.name), Say: "is not an element of the alloy table", Hint: "write a symbol, such as element.Au"}
		}
		return nil
	}
	var names []string
	for _, k := range priceKeys {
		if k.name == e.name {
			return nil
		}
		names = append(names, k.name)
	}
	hint := fmt.Sprintf("prices are metal.ALLOY, element.SYMBOL, %s", all(names))
	if near := nearest(e.name, names); near != "" {
		hint = "the nearest is " + near
	}
	return &Problem{File: e.file, Line: e.line, Key: shorten(e.name), Say: "is not a price", Hint: hint}
}

// Of is a price or a number of the file by its key, nil when it is not given. It must not be changed.
func (p *Prices) Of(key string) *big.Rat { return p.money[key] }

// Gram is the price of a gram of an alloy: its own, or that of its elements by their share; nil and what is missing when neither
// is known. Exact.
func (p *Prices) Gram(a Alloy) (price *big.Rat, missing string) {
	if v := p.money["metal."+a.ID]; v != nil {
		return v, ""
	}
	sum := new(big.Rat)
	for _, s := range a.Parts {
		v := p.money["element."+s.Element]
		if v == nil {
			return nil, "metal." + a.ID + ", or element." + s.Element + " and the others it is made of"
		}
		share, ok := new(big.Rat).SetString(plain(s.Percent))
		if !ok {
			return nil, "metal." + a.ID
		}
		sum.Add(sum, share.Mul(share, v))
	}
	return sum.Quo(sum, big.NewRat(100, 1)), ""
}

// elementNamed finds an element by its symbol.
func elementNamed(symbol string) (Element, bool) {
	for _, e := range elements() {
		if e.Symbol == symbol {
			return e, true
		}
	}
	return Element{}, false
}
