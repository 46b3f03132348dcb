package metal

import "fmt"

// Raise is the mass of fine metal to melt with mass at the fine share from, so that all of it has the share to. By
// balance of the fine metal: mass (to - from)/(1 - to). Mass in any unit, shares 0 to 1 (carats over 24). It is the
// rule of goldsmiths' handbooks, S (KW - KS)/(24 - KW). It fails unless 0 <= from <= to < 1 and mass is not negative.
func Raise(mass, from, to float64) (float64, error) {
	if err := balance(mass, from, to); err != nil {
		return 0, err
	}
	if to < from {
		return 0, fmt.Errorf("fine metal cannot bring %.4g down to %.4g: alloy lowers", from, to)
	}
	if to >= 1 {
		return 0, fmt.Errorf("no addition raises an alloy to fineness %.4g: refining does", to)
	}
	return mass * (to - from) / (1 - to), nil
}

// Lower is the mass of alloy, without any of the precious metal, to melt with mass at the fine share from, so that all
// of it has the share to. By balance of the fine metal: mass (from - to)/to. Mass in any unit, shares 0 to 1. It is the
// rule of goldsmiths' handbooks, G (K - W)/W. It fails unless 0 < to <= from <= 1 and mass is not negative.
func Lower(mass, from, to float64) (float64, error) {
	if err := balance(mass, from, to); err != nil {
		return 0, err
	}
	if to > from {
		return 0, fmt.Errorf("alloy cannot bring %.4g up to %.4g: fine metal raises", from, to)
	}
	if to <= 0 {
		return 0, fmt.Errorf("no addition lowers an alloy to fineness %.4g", to)
	}
	return mass * (from - to) / to, nil
}

// balance refuses what is no mass or no share; comparisons are written so that NaN fails.
func balance(mass, from, to float64) error {
	if !(mass >= 0) {
		return fmt.Errorf("mass %.4g is below 0", mass)
	}
	for _, f := range []float64{from, to} {
		if !(f >= 0 && f <= 1) {
			return fmt.Errorf("fine share %.4g is outside 0 to 1", f)
		}
	}
	return nil
}
