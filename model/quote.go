package model

import (
	"fmt"
	"math/big"

	"claspwright/model/metal"
	"claspwright/params"
)

// Quote is what a lock costs by the user's own prices. Money is exact; a line is rounded to a hundredth, half up, and the
// total is the sum of the lines as they are printed.
type Quote struct {
	Date, Currency string
	Lines          []QuoteLine
	Total          *big.Rat // of the lines that have an amount
	Open           int      // lines that have none
}

// QuoteLine is one line.
type QuoteLine struct {
	What     string
	Quantity *big.Rat // nil when that is what is missing
	Unit     string
	Price    *big.Rat // of a unit; nil when it is missing
	Amount   *big.Rat // rounded; nil while the line is open
	Missing  string   // the key to give
	Decimals int      // of the quantity
}

// Quote makes a quote for a lock that has been weighed.
func (c *Commission) Quote(p *params.Prices) *Quote {
	q := &Quote{Date: p.Date, Currency: p.Currency, Total: new(big.Rat)}
	var cast, castings float64
	for _, pour := range c.Pours {
		q.metal(p, pour.Alloy, "castings, "+pour.Alloy.ID, pour.Order.CastingG)
		q.metal(p, pour.Alloy, "lost in melting, "+pour.Alloy.ID, pour.Order.LossG)
		cast += pour.Order.CastingG
		castings += float64(len(pour.Parts))
	}
	if s := c.Strip; s != nil {
		q.metal(p, s.Alloy, "strip, "+s.Alloy.ID, metal.Density(s.Alloy)/1000*s.Leaf.VolumeMM3)
	}
	if k := c.Catch; k != nil {
		sides := float64(len(c.Lock.CatchSides()))
		q.metal(p, k.Alloy, "safety catch, "+k.Alloy.ID, sides*k.Gram)
	}
	one := big.NewRat(1, 1)
	q.add("caster's fee, order", one, 0, "", p, "caster.order")
	q.add("caster's fee, castings", rat(castings, 0), 0, "pieces", p, "caster.piece")
	q.add("caster's fee by weight", rat(cast, 2), 2, "g", p, "caster.gram")
	q.add("work at the bench", p.Of("labour.hours"), 2, "h", p, "labour.hour")
	if p.Of("labour.hours") == nil {
		q.open("labour.hours")
	}
	if n := p.Of("setting.stones"); n != nil && n.Sign() > 0 {
		q.add("setting", n, 0, "stones", p, "setting.stone")
	}
	if p.Of("other.amount") != nil {
		q.add("other", one, 0, "", p, "other.amount")
	}
	for _, l := range q.Lines {
		if l.Amount == nil {
			q.Open++
			continue
		}
		q.Total.Add(q.Total, l.Amount)
	}
	return q
}

// metal adds a line of metal. Grams are counted as they are printed, to a hundredth.
func (q *Quote) metal(p *params.Prices, a params.Alloy, what string, gram float64) {
	price, missing := p.Gram(a)
	q.line(QuoteLine{What: what, Quantity: rat(gram, 2), Unit: "g", Price: price, Missing: missing, Decimals: 2})
}

func (q *Quote) add(what string, quantity *big.Rat, decimals int, unit string, p *params.Prices, key string) {
	l := QuoteLine{What: what, Quantity: quantity, Unit: unit, Price: p.Of(key), Decimals: decimals}
	if l.Price == nil {
		l.Missing = key
	}
	q.line(l)
}

// open says what is missing besides of the last line.
func (q *Quote) open(key string) {
	l := &q.Lines[len(q.Lines)-1]
	if l.Missing != "" {
		key = l.Missing + ", " + key
	}
	l.Missing = key
}

func (q *Quote) line(l QuoteLine) {
	if l.Quantity != nil && l.Price != nil {
		l.Amount = Cents(new(big.Rat).Mul(l.Quantity, l.Price))
	}
	q.Lines = append(q.Lines, l)
}

// Cents rounds to a hundredth, half away from 0, exactly.
func Cents(v *big.Rat) *big.Rat {
	r, _ := new(big.Rat).SetString(v.FloatString(2)) // FloatString rounds halves away from zero, exactly
	return r
}

// rat is a measured number as it is printed, with so many decimals.
func rat(v float64, decimals int) *big.Rat {
	r, ok := new(big.Rat).SetString(fmt.Sprintf("%.*f", decimals, v))
	if !ok {
		return new(big.Rat)
	}
	return r
}
