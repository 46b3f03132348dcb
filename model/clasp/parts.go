package clasp

import (
	"fmt"

	"claspwright/model/solid"
)

// The parts that a lock is made of, by the names of their files.
const (
	PartBox    = "box"
	PartTongue = "tongue"
	PartFloor  = "floor"
)

// Parts lists the parts in the order in which they are made and listed.
func (l *Lock) Parts() []string {
	if l.Loose() {
		return []string{PartBox, PartTongue, PartFloor}
	}
	return []string{PartBox, PartTongue}
}

// Build builds a part at a stage.
func (l *Lock) Build(part string, stage Stage) (*solid.Solid, error) {
	switch part {
	case PartBox:
		return l.Box(stage)
	case PartTongue:
		return l.Tongue(stage)
	case PartFloor:
		return l.LooseFloor(stage)
	}
	return nil, fmt.Errorf("no part %q", part)
}
