// Package learn finds from caliper readings of castings what the caster's pour did to the pattern: how much each axis
// shrank, how much more or less metal stands on each kind of surface than was drawn, and how far pieces scatter. It knows
// numbers only; lengths in mm.
//
// A reading is pattern x u + sum of faces x excess + scatter: u is casting over pattern along the reading's axis, 1/growth;
// excess is the metal on a kind of surface over what was drawn there. Both are found by least squares, uncertainties are
// Student's (any handbook of linear regression, such as N. R. Draper, H. Smith, Applied Regression Analysis). A caliper
// that reads wrong by the same amount everywhere cannot be told from excess: check it on a gauge block.
package learn
