package life

// Binds says whether a metal of a fineness, parts per thousand, binds on its like: soft, ductile metals that carry no oxide skin weld and tear
// where they rub, platinum and palladium whatever their fineness, gold of 22 carat and finer, fine silver. Common practice, no source.
func Binds(metal string, fineness float64) bool {
	switch metal {
	case "platinum", "palladium":
		return true
	case "gold":
		return fineness >= 916
	case "silver":
		return fineness >= 990
	}
	return false
}
