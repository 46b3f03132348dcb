package export

import (
	"context"
	"strings"
	"sync"
	"testing"

	"claspwright/model"
	"claspwright/model/clasp"
	"claspwright/params"
)

// made holds commissions by job, since making one costs more than most tests of what is written from it.
var made struct {
	sync.Mutex
	by map[string]*model.Commission
}

// plainJob is the chain that most tests use: 12.4 x 5.2 mm, flat.
var plainJob = []string{"chain.width=12.4", "chain.thickness=5.2", "metal.alloy=au585-yellow"}

// crownedJob is a broad chain with a domed top, in an alloy of the user's own.
var crownedJob = []string{"chain.width=18", "chain.thickness=7.6", "chain.crown=27", "metal.alloy=Au 75, Ag 5, Cu 20"}

// variedJob has what the plain one has not: lugs, a loose floor, and a leaf of strip in another alloy.
var variedJob = append([]string{"tongue.make=strip", "tongue.alloy=au750-white-pd", "lock.end=lug", "lock.floor=loose"}, plainJob...)

// commission is the whole commission of a job.
func commission(t *testing.T, sets ...string) *model.Commission {
	t.Helper()
	made.Lock()
	defer made.Unlock()
	key := strings.Join(sets, "\n")
	if c := made.by[key]; c != nil {
		return c
	}
	job, err := params.Load("", sets)
	if err != nil {
		t.Fatal(err)
	}
	c, err := model.Make(context.Background(), job, model.Want{
		Stages: []clasp.Stage{clasp.Casting, clasp.Pattern}, Prove: true, Weights: true, Checks: true,
	})
	if err != nil {
		t.Fatal(err)
	}
	if made.by == nil {
		made.by = map[string]*model.Commission{}
	}
	made.by[key] = c
	return c
}

// pictures draws the pictures of a job folder alone.
func pictures(c *model.Commission) ([]item, error) { return drawnAll(c, drawingsOf(c)) }
