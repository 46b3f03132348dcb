package params

import (
	"math/big"
	"strings"
	"testing"
)

func TestPrices(t *testing.T) {
	p, err := ParsePrices("p.toml", []byte("prices.date = \"2026-06-01\"\nprices.currency = \"crowns\"\n[metal]\nag925 = 1.1\n\"Au 58.5, Ag 20, Cu 21.5\" = \"47.005\"\n[element]\nAu = 86.40\nAg = 1.05\nCu = 0.02\n[labour]\nhour = 48\n"))
	if err != nil {
		t.Fatal(err)
	}
	for key, want := range map[string]*big.Rat{"metal.ag925": big.NewRat(11, 10), "element.Au": big.NewRat(864, 10), "labour.hour": big.NewRat(48, 1), "caster.order": nil} {
		if got := p.Of(key); (got == nil) != (want == nil) || got != nil && got.Cmp(want) != 0 {
			t.Errorf("%s is %v, want %v", key, got, want)
		}
	}
	// 18 carat of 75 gold, 12.5 silver, 12.5 copper: 0.75 x 86.40 + 0.125 x 1.05 + 0.125 x 0.02 = 64.93375, exactly.
	a, _ := alloy("Au 75, Ag 12.5, Cu 12.5")
	if got, _ := p.Gram(a); got == nil || got.Cmp(big.NewRat(6493375, 100000)) != 0 {
		t.Errorf("a gram of 18 carat is %v", got)
	}
	b, _ := alloy("Au 58.5, Ag 20, Cu 21.5")
	if got, _ := p.Gram(b); got == nil || got.Cmp(big.NewRat(47005, 1000)) != 0 {
		t.Errorf("an alloy's own price does not go before its elements: %v", got)
	}
	c, _ := alloy("Pt 95, Ru 5")
	if got, missing := p.Gram(c); got != nil || !strings.Contains(missing, "element.Pt") {
		t.Errorf("no price of platinum: %v, %q", got, missing)
	}
}

func TestPricesRefused(t *testing.T) {
	for text, want := range map[string]string{
		"labour.hour = -3":                           "p.toml:1: labour.hour: -3 is not an amount",
		"labour.hour = 3e2":                          "is not an amount",
		"labour.hour = \"3,50\"":                     "is not an amount",
		"labour.hour = \"48 EUR\"":                   "is not an amount",
		"labour.hour = nan":                          "is not an amount",
		"labour.hour = 0.1234567":                    "is not an amount",
		"labour.hour = [1]":                          "is not an amount",
		"labour.huor = 3":                            "labour.huor is not a price\nhint: the nearest is labour.hour",
		"element.Xx = 3":                             "element.Xx is not an element of the alloy table",
		"metal.au58 = 3":                             "metal.au58",
		"element.Au = 86.4":                          "prices.date is not given\nhint: metal prices change by the day",
		"prices.date = \"yesterday\"":                "is not a day",
		"[wages]\nhour = 3":                          "[wages] is not a group of keys",
		"labour.hour = 1\nlabour.hour = 2":           "is given twice",
		"[metal]\n\"Au 75, Ag 25\" = 1.0\nx = \"1\"": "metal.x",
	} {
		if _, err := ParsePrices("p.toml", []byte(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: got %v\nwant %s", text, err, want)
		}
	}
}

// Whatever stands in the file, reading it never panics, and no amount is negative.
func FuzzParsePrices(f *testing.F) {
	for _, s := range []string{"labour.hour = 48\n", "[metal]\nag925 = 1.1\n", "element.Au = 1e400", "prices = 3", "metal.\"Au 75, Ag 25\" = \"0.1\"", "[[caster]]\n", "caster.gram = 0x10"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		p, err := ParsePrices("p.toml", []byte(text))
		if err != nil {
			words(t, err)
			return
		}
		for key, v := range p.money {
			if v.Sign() < 0 {
				t.Errorf("%s is %v", key, v)
			}
		}
	})
}
