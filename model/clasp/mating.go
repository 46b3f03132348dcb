package clasp

// Mating says whether the surface with a tag fits or rubs on another: mouth and chamber, lip, notch and tab, neck, leaf, shoulders,
// the faces where box and block meet, and the seat of a loose floor.
func Mating(tag string) bool {
	switch kind[tag] {
	case "lip", "lip root", "tab", "leaf", "fold", "shoulder", "chamber", "meeting":
		return true
	}
	switch tag {
	case tagLipInner, tagHairpin, tagFloorSeat, tagLedge, tagPlate:
		return true
	}
	return false
}
