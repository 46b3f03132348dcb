package model

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"claspwright/model/casting"
	"claspwright/model/clasp"
	"claspwright/model/metal"
	"claspwright/params"
)

// Ten locks in one flask size, added up by hand from the lock's own weights: 20 castings, gates of 2.5 x 6 mm on each and 1.3 x 6 on ten
// tabs, trunks of 8 mm, buttons of a third, 0.5 % lost of all that is poured, an eighth over it.
func TestPlantByHand(t *testing.T) {
	j := job(t, "chain.width=12.4", "chain.thickness=5.2", "metal.alloy=au585-yellow", "tongue.sizes=rule")
	g, err := Plant(context.Background(), []*params.Job{j}, 10, 80, 100)
	if err != nil {
		t.Fatal(err)
	}
	a := g.Trees[0]
	c := commission(t, Want{Weights: true}, "chain.width=12.4", "chain.thickness=5.2", "metal.alloy=au585-yellow", "tongue.sizes=rule")
	rho := metal.Density(a.Alloy) / 1000
	if g.Locks != 10 || a.Castings != 20 || a.Flasks != (20+a.Tree.Places-1)/a.Tree.Places {
		t.Errorf("%+v", g)
	}
	gates := (20*math.Pi/4*2.5*2.5*6 + 10*math.Pi/4*1.3*1.3*6) * rho
	trunk := 0.0
	for left := 20; left > 0; left -= a.Tree.Places {
		rows := math.Ceil(float64(min(left, a.Tree.Places)) / float64(a.Tree.InARow))
		trunk += math.Pi * 16 * (rows*(c.Lock.Thickness+0.4+c.Lock.TabHeight-0.2+0.1+3) - 3) * rho
	}
	castings := 10 * c.Weights[0].Casting
	button := (castings + gates + trunk) / 3
	poured := (castings + gates + trunk + button) / 0.995
	for what, v := range map[string][2]float64{"castings": {a.CastingG, castings}, "gates": {a.GatesG, gates}, "trunks": {a.TrunksG, trunk}, "buttons": {a.ButtonsG, button}, "to melt": {a.MeltG, poured * 1.125}, "fine": {a.FineG, poured * 1.125 * 0.585}} {
		if math.Abs(v[0]/v[1]-1) > 0.002 {
			t.Errorf("%s: %.3f g, by hand %.3f", what, v[0], v[1])
		}
	}
}

// Two alloys are two trees; a flask smaller than the part is refused with what it needs.
func TestPlantAlloysAndSmallFlask(t *testing.T) {
	sets := []string{"chain.width=12.4", "chain.thickness=5.2", "metal.alloy=au750-yellow", "tongue.sizes=rule"}
	j := job(t, append(sets, "tongue.alloy=au750-pale")...)
	g, err := Plant(context.Background(), []*params.Job{j, job(t, sets...)}, 1, 80, 100)
	if err != nil {
		t.Fatal(err)
	}
	if len(g.Trees) != 2 || g.Trees[0].Castings != 3 || g.Trees[1].Castings != 1 {
		t.Errorf("%+v", g.Trees)
	}
	var no *clasp.Refusal
	if _, err := Plant(context.Background(), []*params.Job{j}, 1, 50, 100); !errors.As(err, &no) || no.Key != "flask" || !strings.Contains(no.Say, "from the flask's middle to its wall") {
		t.Errorf("a flask of 50 mm: %v", err)
	}
	if casting.Safety != 0.125 {
		t.Error("the sheet says an eighth")
	}
}
