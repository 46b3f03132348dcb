package export

import (
	"fmt"
	"io"
	"math/big"
	"strings"
	"text/tabwriter"

	"claspwright/model"
)

// WriteQuote writes a quote as plain text, each line with its quantity and price.
func WriteQuote(w io.Writer, c *model.Commission, q *model.Quote) error {
	var b strings.Builder
	fmt.Fprintf(&b, "QUOTE   %s   %s\nBox lock for a curb chain %s, in %s\n", text(c, "job.name"), signature(), chain(c), metals(c))
	if q.Date != "" {
		fmt.Fprintf(&b, "Metal prices of %s\n", q.Date)
	}
	b.WriteByte('\n')
	money := q.Currency
	if money == "" {
		money = "amount"
	}
	t := tabwriter.NewWriter(&b, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintf(t, "\tquantity\tprice\t%s\t\n", money)
	for _, l := range q.Lines {
		quantity, price, amount := "open", "open", "open"
		if l.Quantity != nil {
			quantity = strings.TrimSpace(l.Quantity.FloatString(l.Decimals) + " " + l.Unit)
		}
		if l.Price != nil {
			price = exact(l.Price)
		}
		if l.Amount != nil {
			amount = l.Amount.FloatString(2)
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t\n", l.What, quantity, price, amount)
	}
	fmt.Fprintf(t, "%s\t\t\t%s\t\n", totalWord(q), q.Total.FloatString(2))
	if err := t.Flush(); err != nil {
		return err
	}
	b.WriteByte('\n')
	for _, l := range q.Lines {
		if l.Amount == nil {
			fmt.Fprintf(&b, "open: %s: give %s\n", l.What, l.Missing)
		}
	}
	b.WriteString("Gates, sprue and button come back from the caster and are not counted; filings and stock are. Taxes are not in it.\n")
	_, err := io.WriteString(w, b.String())
	return err
}

func totalWord(q *model.Quote) string {
	switch q.Open {
	case 0:
		return "total"
	case 1:
		return "total without 1 open line"
	}
	return fmt.Sprintf("total without %d open lines", q.Open)
}

// exact is a price with all its decimals, two at least, six at most.
func exact(v *big.Rat) string {
	s := strings.TrimRight(v.FloatString(6), "0")
	for len(s)-strings.IndexByte(s, '.') < 3 {
		s += "0"
	}
	return s
}

type quoteReport struct {
	SchemaVersion int               `json:"schema_version"`
	Tool          string            `json:"tool"`
	Date          string            `json:"date"`
	Currency      string            `json:"currency"`
	Lines         []quoteLineReport `json:"lines"`
	Total         string            `json:"total"` // of the lines that are not open; a decimal
	Open          int               `json:"open_lines"`
}

type quoteLineReport struct {
	What     string `json:"what"`
	Quantity string `json:"quantity,omitempty"`
	Unit     string `json:"unit,omitempty"`
	Price    string `json:"price,omitempty"`
	Amount   string `json:"amount,omitempty"`
	Missing  string `json:"missing,omitempty"`
}

// WriteQuoteJSON is the same as one JSON document; money is text, so that it stays exact.
func WriteQuoteJSON(w io.Writer, q *model.Quote) error {
	r := quoteReport{SchemaVersion: schemaVersion, Tool: signature(), Date: q.Date, Currency: q.Currency, Total: q.Total.FloatString(2), Open: q.Open}
	for _, l := range q.Lines {
		one := quoteLineReport{What: l.What, Unit: l.Unit, Missing: l.Missing}
		if l.Quantity != nil {
			one.Quantity = l.Quantity.FloatString(l.Decimals)
		}
		if l.Price != nil {
			one.Price = exact(l.Price)
		}
		if l.Amount != nil {
			one.Amount = l.Amount.FloatString(2)
		}
		r.Lines = append(r.Lines, one)
	}
	data, err := pretty(r)
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	return err
}
