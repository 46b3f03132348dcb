package life

// Preset is the stress that stands in a leaf which is kept down by held when closed, MPa: as the stress at release to its travel, the leaf being
// all but linear.
func Preset(releaseStress, travel, held float64) float64 {
	if travel <= 0 || held <= 0 {
		return 0
	}
	return releaseStress * held / travel
}

// Bent is the stress that a cold bend leaves at the surface, MPa, in a metal that yields at yield and does not harden: bent right through, the
// section bears 1.5 times the moment at which its surface yields; let go, the surface goes back by 1.5 yields from one. So half a yield
// stands, tension on the side that was pressed, as the inner side of a fold closed at the bench (S. Timoshenko, Strength of Materials,
// Part II, bending beyond the elastic limit). Deeper in, up to a yield.
func Bent(yield float64) float64 { return yield / 2 }
