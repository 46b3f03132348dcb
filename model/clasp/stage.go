// Package clasp is the anatomy of the box lock: it derives every dimension from the chain, the metal and what the user
// fixed, and builds box and tongue as solids, finished or with stock.
package clasp

// Stage is one of the three stages of the one model.
type Stage string

// The stages. The pattern's solid is the casting's; it is grown as a mesh.
const (
	Finished Stage = "finished"
	Casting  Stage = "casting"
	Pattern  Stage = "pattern"
)

// Stock is the metal left on for filing, sanding and polishing, by kind of surface, mm, normal to the surface.
type Stock struct {
	Face     float64 // face, sides, underside and long edges
	Pad      float64 // the chain ends
	Meeting  float64 // the faces where box and block meet
	Leaf     float64 // outside and edges of the leaf, neck and root pad
	Shoulder float64 // rear of the shoulders, with their chamfer
	Lip      float64 // underside and entry of the lip
	Chamber  float64 // floor, roof, walls and end of the chamber
	Tab      float64 // thumb tab and notch
	Window   float64 // window, a loose floor with its seat, and the end of the fold
}

// at is the stock of a stage: none when finished.
func (s Stock) at(stage Stage) Stock {
	if stage == Finished {
		return Stock{}
	}
	return s
}

// Of is the least and the greatest stock on the surface with a tag, mm. They differ on two rounds alone, where one
// stock runs over into another: round the outside of the fold, and at the lip's root, from roof to inner face. Surfaces
// that no file reaches, or that must stay as cast,
// have none.
func (s Stock) Of(tag string) (least, most float64) {
	switch kind[tag] {
	case "fold":
		return min(s.Window, s.Leaf), max(s.Window, s.Leaf)
	case "lip root":
		return 0, s.Chamber
	}
	v := map[string]float64{"face": s.Face, "pad": s.Pad, "meeting": s.Meeting, "leaf": s.Leaf, "shoulder": s.Shoulder,
		"lip": s.Lip, "chamber": s.Chamber, "tab": s.Tab, "window": s.Window}[kind[tag]]
	return v, v
}

// Kind is the kind of stock of the surface with a tag, "" where none is left on.
func Kind(tag string) string { return kind[tag] }

// kind gives each tagged surface its kind of stock.
var kind = map[string]string{
	tagFace: "face", tagHollow: "face", tagSide: "face", tagUnderside: "face", tagLongEdge: "face", tagHallmark: "face",
	tagPad: "pad", tagLug: "pad", tagLug + round: "pad", tagMeeting: "meeting",
	tagLowerLeaf: "leaf", tagUpperLeaf: "leaf", tagLeafEdge: "leaf", tagPlateFace: "leaf", tagNeck: "leaf", tagRootPad: "leaf", tagPadTop: "leaf", tagSeat: "leaf", tagSeatEnd: "leaf",
	tagShoulder: "shoulder",
	tagLipUnder: "lip", tagLipEntry: "lip", tagLipUnder + round: "lip",
	tagFloor: "chamber", tagRoof: "chamber", tagWall: "chamber", tagChamberEnd: "chamber", tagStep: "chamber",
	tagTab: "tab", tagTab + round: "tab", tagNotch: "tab",
	tagFloorSeat: "window", tagPlate: "window",
	tagWindow: "window", tagLugHole: "window",
	tagRoof + round:      "lip root",
	tagLowerLeaf + round: "fold", tagFoldEnd: "fold", tagFoldEnd + round: "fold",
}

// round is what a round between two sides adds to the tag of the first.
const round = " round"

// The surfaces of the lock.
const (
	tagFace       = "face"
	tagSide       = "side"
	tagUnderside  = "underside"
	tagLongEdge   = "long edge"
	tagPad        = "pad"
	tagMeeting    = "meeting face"
	tagFloor      = "floor"
	tagRoof       = "roof"
	tagWall       = "side wall"
	tagChamberEnd = "end"
	tagStep       = "roof step"
	tagLipInner   = "lip, inner face"
	tagLipUnder   = "lip, underside"
	tagLipEntry   = "lip, entry"
	tagNotch      = "notch"
	tagWindow     = "window"
	tagNeck       = "neck"
	tagRootPad    = "root pad"
	tagPadTop     = "root pad, top"
	tagSeat       = "strip's seat"
	tagSeatEnd    = "strip's seat, end"
	tagPadEnd     = "root pad, end"
	tagStripEnd   = "strip, root end"
	tagSlit       = "saw cut beside the tab"
	tagLowerLeaf  = "lower leaf"
	tagUpperLeaf  = "upper leaf"
	tagFoldEnd    = "fold, end"
	tagHairpin    = "inside of the leaf"
	tagLeafEdge   = "leaf edge"
	tagPlateFace  = "plate, above and below"
	tagShoulder   = "shoulder"
	tagTab        = "thumb tab"
	tagCradle     = "cradle"
	tagLug        = "lug"
	tagLugHole    = "lug, hole"
	tagHollow     = "hollowed underside"
	tagFloorSeat  = "seat of the floor"
	tagLedge      = "ledge of the floor"
	tagPlate      = "edge of the floor"
	tagLetter     = "letters"
	tagHallmark   = "flat for the hallmark"
	tagCoreHole   = "core hole"
	TagSeat       = "seat of the catch" // tube or stud is soldered in; no stock
	tagStub       = "gate stub"         // sawn off; no stock
	tagHidden     = "joint"             // inside the metal, never on the surface
)
