package model

import (
	"fmt"
	"math/big"
	"strings"
	"testing"

	"claspwright/model/casting"
	"claspwright/params"
)

// A quote by hand: 20.05 g of 14 carat at 50.75, 0.15 g lost, an order at 25, two castings at 3.20, 20.05 g at 1.10, 6.5 h at 48, three
// stones at 4.005, 0.10 for the rest. 20.05 x 50.75 = 1017.5375 -> 1017.54; 0.15 x 50.75 = 7.6125 -> 7.61; 25; 6.40;
// 22.055 -> 22.06, a half goes up; 312; 12.015 -> 12.02; 0.10. Sum 1402.73.
func TestQuoteByHand(t *testing.T) {
	p, err := params.ParsePrices("p.toml", []byte("prices.date = \"2026-06-01\"\nmetal.au585-yellow = 50.75\ncaster.order = 25\ncaster.piece = 3.20\ncaster.gram = 1.10\n"+
		"labour.hour = 48\nlabour.hours = 6.5\nsetting.stone = 4.005\nsetting.stones = 3\nother.amount = 0.10\n"))
	if err != nil {
		t.Fatal(err)
	}
	j := job(t, "chain.width=12.4", "chain.thickness=5.2", "metal.alloy=au585-yellow")
	a, err := j.Alloy("au585-yellow")
	if err != nil {
		t.Fatal(err)
	}
	c := &Commission{Job: j, Pours: []Pour{{Parts: []string{"box", "tongue"}, Alloy: a, Order: casting.Order{CastingG: 20.0461, LossG: 0.1512}}}}
	q := c.Quote(p)
	var got []string
	for _, l := range q.Lines {
		got = append(got, l.Amount.FloatString(2))
	}
	if want := "1017.54 7.61 25.00 6.40 22.06 312.00 12.02 0.10"; strings.Join(got, " ") != want {
		t.Errorf("lines %v, want %s", got, want)
	}
	if q.Total.Cmp(big.NewRat(140273, 100)) != 0 || q.Open != 0 {
		t.Errorf("total %s, %d open; want 1402.73", q.Total.FloatString(4), q.Open)
	}
}

// What has no price is open, the total says how many, and no price is built in.
func TestQuoteOpenLines(t *testing.T) {
	p, err := params.ParsePrices("p.toml", nil)
	if err != nil {
		t.Fatal(err)
	}
	j := job(t, "chain.width=12.4", "chain.thickness=5.2", "metal.alloy=au585-yellow")
	a, err := j.Alloy("au585-yellow")
	if err != nil {
		t.Fatal(err)
	}
	c := &Commission{Job: j, Pours: []Pour{{Parts: []string{"box"}, Alloy: a, Order: casting.Order{CastingG: 10}}}}
	q := c.Quote(p)
	if q.Open != len(q.Lines) || q.Total.Sign() != 0 || len(q.Lines) != 6 {
		t.Errorf("%d lines, %d open, total %s", len(q.Lines), q.Open, q.Total.FloatString(2))
	}
	for _, l := range q.Lines {
		if l.Amount != nil || l.Missing == "" {
			t.Errorf("%+v", l)
		}
	}
}

// Halves go away from 0 and nothing is lost in binary: 0.005, 1.005, 2.675 are all rounded up, as floats they would not be.
func TestCents(t *testing.T) {
	for text, want := range map[string]string{"0.005": "0.01", "1.005": "1.01", "2.675": "2.68", "0.00499999": "0.00", "10": "10.00", "1.115": "1.12"} {
		v, _ := new(big.Rat).SetString(text)
		if got := Cents(v).FloatString(2); got != want {
			t.Errorf("%s is rounded to %s, want %s", text, got, want)
		}
	}
	if fmt.Sprintf("%.2f", 1.005) == "1.01" {
		t.Error("the examples show nothing")
	}
}
