package model

import (
	"fmt"

	"claspwright/model/casting"
	"claspwright/model/clasp"
	"claspwright/model/solid"
)

// stubbed says whether gates are built as part of the pattern.
func (c *Commission) stubbed() bool {
	where, _ := c.Job.Text("casting.stub")
	return where == "ends"
}

// tryStubs refuses stubs that cannot stand, whatever is wanted of the lock.
func (c *Commission) tryStubs() error {
	if !c.stubbed() {
		return nil
	}
	for _, part := range []string{clasp.PartBox, clasp.PartTongue} {
		g := c.gateOf(part)
		if _, err := c.Lock.Stub(part == clasp.PartBox, g.Diameter, g.Length); err != nil {
			return err
		}
	}
	return nil
}

// stub is the gate that a part carries at a stage: box and tongue as they are cast, on the end that is filed and soldered to the chain.
func (c *Commission) stub(part string, stage clasp.Stage) casting.Gate {
	if stage == clasp.Finished || part == clasp.PartFloor || !c.stubbed() {
		return casting.Gate{}
	}
	return c.gateOf(part)
}

// addStub joins the part's stub to its solid.
func (p *Part) addStub(l *clasp.Lock) error {
	if p.Stub.Diameter == 0 {
		return nil
	}
	stub, err := l.Stub(p.Name == clasp.PartBox, p.Stub.Diameter, p.Stub.Length)
	if err != nil {
		return fmt.Errorf("%s, %s: %w", p.Name, p.Stage, err)
	}
	p.Solid = solid.Join(p.Solid, stub)
	return nil
}

// Casting is a casting's own volume, mm3, without its gate: that is weighed with the gates.
func (p *Part) Casting() float64 { return p.VolumeMM3 - p.Stub.Volume() }

// fitStub makes a gate that follows from the part no thicker than the end takes as a stub.
func (c *Commission) fitStub(g *casting.Gate) error {
	if !c.stubbed() || c.Lock.End != "pad" {
		return nil
	}
	_, most, err := c.Lock.StubRoom()
	if most = clasp.Down(most); err == nil && g.Diameter > most {
		g.Diameter, g.Length, g.Cut = most, min(g.Length, 3*most), true
	}
	return err
}
