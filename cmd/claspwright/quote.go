package main

import (
	"github.com/spf13/cobra"

	"claspwright/export"
	"claspwright/model"
	"claspwright/params"
)

func (s *session) quoteCommand() *cobra.Command {
	var prices string
	cmd := &cobra.Command{
		Use:   "quote [JOB.toml] --prices PRICES.toml",
		Short: "Quote a lock by your own prices, each line shown",
		Long: `Quote adds up what a lock costs by prices that you keep in a file of your own; none
is built in. Money is exact: each line is rounded to a hundredth, the total is the
sum of the lines. What has no price stays open, and the total says so.

A file of prices:

  prices.date = "2026-06-01"
  prices.currency = "EUR"
  [metal]             # a gram of an alloy
  au585-yellow = 51.20
  [element]           # or a gram of each element
  Au = 86.40
  [caster]            # order, piece, gram
  order = 25
  gram = 1.10
  [labour]            # hour: its price; hours: how many for this lock
  hour = 48
  hours = 6.5
  [setting]           # stone: its price; stones: how many
  stone = 4
  [other]
  amount = 12.50`,
		Example: "  claspwright quote order/job.toml --prices prices.toml > quote.txt",
	}
	s.jobFlags(cmd)
	cmd.Flags().StringVar(&prices, "prices", "", "`file` with your prices")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if prices == "" {
			return &usageError{say: "quote needs a file of prices", hint: "name it with --prices; quote --help shows one"}
		}
		p, err := params.LoadPrices(prices)
		if err != nil {
			return err
		}
		job, err := s.load(cmd.Flags(), args)
		if err != nil {
			return err
		}
		c, err := model.Make(cmd.Context(), job, model.Want{Weights: true})
		if err != nil {
			return err
		}
		q := c.Quote(p)
		if s.json {
			return export.WriteQuoteJSON(s.out, q)
		}
		return export.WriteQuote(s.out, c, q)
	}
	return cmd
}
