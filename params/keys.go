package params

import "math"

// What a row's range and default rest on.
const (
	practice = "common practice, no source"
	fitting  = "common practice, no source; to be tried at the bench"
	frame    = "computed for this project: plane frame of the folded leaf, no bench trial"
	caster   = "minima printed in caster's guidelines: 0.4 mm to 0.8 mm walls; the rest common practice, no source"
	loop     = "typical: Professional Jeweler, April 2002, bench article on figure-eight safety catches; heavy locks: common practice, no source"
	letters  = "common practice, no source: 0.2 mm is printed, casters name 0.3 mm and more for letters that stay crisp (from memory)"
	filing   = "common practice, no source; a ring measured before and after finishing lost about 0.1 mm a face (J. Tyler Teague, Santa Fe Symposium)"
)

// keys is the key table. Lengths in mm, masses in g.
var keys = []Key{
	required("chain.width", 4, 40, "width", "12.4", "width of the finished chain across, by caliper", practice),
	required("chain.thickness", 1.5, 20, "thickness", "5.2", "thickness of the finished chain at mid-width, by caliper", practice),
	number("chain.crown", "mm", 0, 1000, 0, "radius of the domed top, seen along the chain; 0 is flat", practice),
	{Name: "chain.heights", Kind: Text, Default: math.NaN(), Rule: "no readings; chain.crown holds", Example: `"0 5.20, 3 5.05, -3 5.04, 5 4.71"`,
		Meaning: "the crown as read: place from mid-width and thickness there by caliper, mm, three pairs or more; an arc is fitted, or tangent arcs", Source: "least squares of the readings"},
	number("chain.underside", "mm", 0, 1000, 0, "radius of a domed underside, seen along the chain; 0 is flat", practice),
	number("chain.wrist", "mm", 15, 60, 30, "radius of the wrist that the lock lies on, from which a straight lock stands off", "common practice, no source: a wrist of 19 cm round"),
	number("chain.edge", "mm", 0, 1, 0.3, "rounding of the long outer edges of chain and lock", practice),
	choice("chain.wear", "bracelet", "what the chain is worn as; a bracelet takes blows and gets a safety catch", practice,
		"bracelet", "necklace"),

	{Name: "metal.alloy", Kind: Text, Default: math.NaN(), Required: true, Flag: "alloy", Example: `"au585-yellow"`,
		Meaning: "alloy of the lock: an id of the alloy table or a composition in mass percent, such as \"Au 75, Ag 12.5, Cu 12.5\"",
		Source:  "alloy table, each row with its source"},

	{Name: "tongue.alloy", Kind: Text, Default: math.NaN(), Rule: "as metal.alloy", Example: `"au750-yellow"`,
		Meaning: "alloy of the tongue, if another than the box's; the lower fineness governs the mark", Source: practice},
	choice("tongue.condition", "annealed", "state of the leaf when the lock is finished; strip that is not soldered is hard-rolled, that is hammered", "common practice, no source: soldering anneals the leaf",
		"as-cast", "annealed", "hammered", "age-hardened"),
	number("tongue.count", "", 1, 2, 1, "leaves side by side on one block, each with its own chamber, catch and tab: 2 is the double tongue of wide locks", practice),
	choice("tongue.make", "cast", "how the leaf is made: cast with the block, cast opened and closed at the bench, or of rolled strip; or, where a chain is too thin for a folded leaf, a plate slit lengthwise whose flanks spring sideways", practice,
		"cast", "opened", "strip", "slit"),
	rule("tongue.yield", "MPa", 20, 2000, "as known of the alloy in its condition, or estimated from its hardness", "320", "yield of the leaf, Rp0.2, as the alloy's maker states it", "the maker's data sheet"),
	choice("tongue.sizes", "spring", "how leaf, fold, length and end play are found where they are not given: by the computed spring, or by the rules below alone", frame,
		"spring", "rule"),
	number("tongue.opening", "deg", 3, 20, 8, "by how much a leaf that is cast opened stands open at the fold", "common practice, no source: 5 to 10 degrees"),
	rule("tongue.leaf", "mm", 0.35, 1.2, "0.045 of the width, 0.5 to 0.7 mm; of strip 0.04 of the width, 0.35 to 0.6 mm", "0.55", "thickness of the leaf at the fold", frame),
	number("tongue.taper", "", 0.5, 1, 0.75, "thickness of the upper leaf at its tip as a part of that at the fold; strip keeps its thickness, 1, unless it is filed", frame),
	rule("tongue.fold", "mm", 0.15, 1.5, "the greater of 0.25 mm and 0.6 of the leaf; 0.5 of the leaf where height is short", "0.35", "inside radius of the fold; at least 0.2 mm where it is cast", frame),
	rule("tongue.length", "mm", 6, 20, "1.05 of the width, 8 to 15 mm, to begin with; with lock.length what that leaves", "13", "length of the leaf from the tip of the shoulders to the fold", frame),
	number("tongue.engagement", "mm", 0.4, 0.7, 0.5, "how far the shoulders stand behind the lip", fitting),
	number("tongue.rise", "mm", 0.1, 0.6, 0.2, "gap that the mouth leaves above the fold", frame),
	number("tongue.top_gap", "mm", 0.10, 0.15, 0.12, "gap between the relaxed leaf's tip and the roof, which holds the leaf when the chain pulls", frame),
	rule("tongue.side_play", "mm", 0.03, 0.2, "the lesser of 0.07 mm and 0.006 of the leaf's length", "0.07", "gap between the lower leaf and the chamber's wall, each side", fitting),
	number("tongue.floor_play", "mm", 0.03, 0.3, 0.08, "gap between the lower leaf and the floor", fitting),
	rule("tongue.neck_play", "mm", 0.01, 0.15, "the lesser of 0.04 mm and 0.006 of the leaf's width", "0.04", "gap above and below the neck in the mouth", fitting),
	rule("tongue.end_play", "mm", 0.05, 0.5, "the greater of 0.15 mm and the tip's travel towards the lip with 0.03 mm over", "0.15", "gap between shoulder and lip along the chain when closed", frame),

	rule("tongue.stop", "mm", 0.1, 0.6, "0.21 mm, or what stops the leaf at 1.2 of its travel", "0.21", "height of the freed tip's underside over the root pad, which stops it there", frame),

	number("tongue.friction", "", 0.05, 0.5, 0.2, "coefficient of friction of leaf on lip, floor and roof; the way in is computed with 0.1 less and more too", "common practice, no source: clean metal on metal, hardly greased, 0.1 to 0.3"),

	rule("lock.length", "mm", 10, 60, "lip, end play, leaf, fold, 0.35 mm and end wall", "18", "length of the box along the chain", frame),
	rule("lock.wall", "mm", 0.5, 6, "the greater of 0.7 mm (0.8 mm for silver, platinum, palladium) and 0.06 of the width; more where the chamber stops at 14 mm, and beside a loose floor", "0.8", "thickness of the side walls", caster),
	rule("lock.partition", "mm", 0.5, 4, "the greater of 0.7 mm (0.8 mm for silver, platinum, palladium) and 0.04 of the width", "0.8", "thickness of the wall between the chambers of a double tongue", caster),
	choice("lock.floor", "window", "how the chamber is opened for caster and cleaning: a window in the floor, a loose floor soldered in, or closed", "common practice, no source: a deep closed chamber is a fragile core",
		"window", "loose", "closed"),
	rule("lock.floor_wall", "mm", 0.5, 4, "the greater of 0.6 mm (0.8 mm for silver, platinum, palladium) and 0.10 of the thickness; more where height is to spare", "0.6", "thickness of the floor", caster),
	rule("lock.roof", "mm", 0.5, 6, "the greater of 0.6 mm (0.8 mm for silver, platinum, palladium) and a sixteenth of the chamber's width, at its corner; more where height is to spare", "0.8", "thickness of the roof at the chamber's corner, square to the crown", caster),
	choice("lock.end", "pad", "how a half meets the chain: a flat pad to solder to, a cradle for the end link, or a pierced lug", practice,
		"pad", "cradle", "lug"),
	rule("lock.end_wall", "mm", 0.6, 12, "the greater of 0.9 mm and 0.07 of the width, more behind a loose floor, and the depth of a cradle over it", "0.9", "thickness of the box's closed end", caster),
	rule("lock.lip", "mm", 0.6, 4, "the greater of 1.1 mm, so that a 1.2 mm file passes, and 0.07 of the width", "1.1", "thickness of the lip along the chain", frame),
	number("lock.lip_slope", "deg", 0, 15, 0, "by how much the lip's inner face leans, so that the lip is thicker at its root", "common practice, no source: up to 4 degrees cast more easily; friction holds the catch to about 11"),
	rule("lock.block", "mm", 3, 25, "the greater of 5 mm and 0.45 of the width", "5.6", "length of the block along the chain", practice),
	number("lock.pull", "N", 10, 500, 100, "pull of the chain that the closed lock must hold without bending for good", "common practice, no source: ten kilogrammes, far more than a wrist pulls"),
	number("lock.wear", "mm", 0, 0.3, 0.10, "metal that wear takes off the lip and off the shoulders, each, by the time the lock is worn", "common practice, no source: nothing is published on the wear of box locks"),
	number("lock.hollow", "mm", 0, 60, 0, "radius to which the underside is hollowed along the chain, to follow the wrist, from 20; 0 is straight", practice),
	number("lock.face_gap", "mm", 0.02, 0.3, 0.05, "gap between box and block when closed", fitting),

	rule("link.wire", "mm", 0.8, 14, "a third of the width: wire, gap and wire of a tight curb are equal", "4.1", "wire of the chain's links", "common practice, no source: a tight curb is three wires wide"),
	number("link.angle", "deg", 0, 60, 22, "how far the end link's bow is turned out of the flat, seen along the chain; the links lean one way", "computed: unfiled thickness 1.8 wires at a width of 3 wires (common practice, no source)"),
	rule("link.width", "mm", 0.8, 30, "what the width leaves: (width - wire)/cos(angle) - wire", "4.8", "inside width of a link, across", "geometry of a link with plane bows"),
	rule("link.length", "mm", 2, 60, "2.5 wires", "10.3", "inside length of a link, along", "common practice, no source: just room for two wires"),
	rule("cradle.sink", "mm", 0.2, 7, "half the wire", "2", "how deep the end link's bow is let into the cradle", practice),
	number("cradle.play", "mm", 0, 0.3, 0.05, "gap for solder round the wire in its groove", practice),
	rule("lug.thickness", "mm", 1, 8, "0.3 of the width, 1.5 to 4 mm", "3.7", "thickness of the lug, across the chain", practice),
	rule("lug.wall", "mm", 0.6, 4, "the greater of 0.8 mm and 0.16 of the thickness", "0.8", "metal round the lug's hole", caster),
	rule("lug.hole", "mm", 0.8, 14, "what the height there leaves between two walls, at most the wire and 0.3 mm", "3.5", "hole of the lug, for a connecting link 0.3 mm thinner", practice),

	{Name: "strip.alloy", Kind: Text, Default: math.NaN(), Rule: "as tongue.alloy", Example: `"au750-pale"`,
		Meaning: "alloy of the rolled strip, where tongue.make is strip; the lowest fineness governs the mark", Source: practice},
	choice("strip.fix", "rivet", "how the strip is held in its seat on the cast block: two rivets, a laser seam round its root, or solder, which anneals it", practice,
		"rivet", "laser", "solder"),
	rule("strip.rivet", "mm", 0.5, 1.5, "0.06 of the width, 0.7 to 1 mm", "0.8", "diameter of the two rivets that hold the strip", "common practice, no source: 0.7 to 1 mm wire"),

	rule("tab.width", "mm", 1.5, 6, "a quarter of the width, or of half of it for each of two tabs, 2 to 4 mm", "3", "width of the thumb tab", practice),
	number("tab.thickness", "mm", 0.8, 2, 1.1, "thickness of the thumb tab along the chain; of strip the tab is the strip itself, bent up", practice),
	rule("tab.height", "mm", 0.5, 2, "the travel of the leaf and 0.4 mm", "1", "how far the thumb tab stands above the face", frame),

	number("window.length", "mm", 1.5, 8, 3, "length of the window in the floor, along the chain", caster),
	rule("window.width", "mm", 1.5, 12, "half the chamber's width", "5", "width of the window in the floor, across the chain", caster),

	number("floor.play", "mm", 0.02, 0.15, 0.05, "gap for solder round a loose floor, at its edges and at its ledge", "common practice, no source; silver brazes are drawn into 0.05 to 0.13 mm (AWS Brazing Handbook, from memory)"),
	number("core.holes", "", 0, 2, 0, "bores through both side walls for a graphite lead that holds the caster's core, 0, 1 or 2; each is closed later with a wire plug", "common practice, no source"),
	number("core.hole", "mm", 0.5, 2, 1, "diameter of these bores", "common practice, no source: leads of 0.5 to 2.0 mm are used as cores"),
	{Name: "catch.sides", Kind: Choice, Default: math.NaN(), Rule: "one for a bracelet whose sides have room for it, none for a necklace or beside a double tongue", Choices: []string{"none", "one", "both"},
		Example: `"one"`, Meaning: "sides with a safety catch: a hinged figure-eight wire loop that snaps over a stud", Source: practice},
	rule("catch.wire", "mm", 0.4, 1, "0.5 mm up to a width of 12 mm, 0.7 mm from 28 mm, to 0.05 mm", "0.5", "wire of the loop", loop),
	rule("catch.ball", "mm", 1.2, 2.6, "1.5 mm up to a width of 12 mm, 2 mm from 28 mm, to 0.1 mm", "1.5", "diameter of the stud's ball", loop),
	rule("catch.tube", "mm", 1.5, 5, "2 mm up to a width of 12 mm, 3.5 mm from 28 mm; less where the side is low, to 0.1 mm", "2", "length of the hinge tube, upright on the block's side", loop),
	rule("catch.reach", "mm", 3, 9, "4.5 mm up to a width of 12 mm, 6.5 mm from 28 mm, to 0.25 mm", "4.5", "from the tube's axis to the middle of the ball", loop),
	number("catch.snap", "mm", 0.05, 0.3, 0.1, "by how much the loop's waist is narrower inside than the ball", "common practice, no source: 0.10 to 0.20 mm"),
	{Name: "catch.alloy", Kind: Text, Default: math.NaN(), Rule: "as metal.alloy", Example: `"au750-yellow"`,
		Meaning: "alloy of loop, tube and stud, hard drawn; nickel white springs best, and touches the skin", Source: "Professional Jeweler, April 2002; common practice"},

	choice("mark.make", "none", "letters on the underside of the block, hidden in wear: engraved, or raised in a sunk field, so that nothing stands out and filing spares them", practice,
		"none", "engraved", "raised"),
	{Name: "mark.text", Kind: Text, Default: math.NaN(), Rule: "width of the chain and fineness, or the fineness alone where only that has room; the width where there is none", Example: `"12.4 585"`,
		Meaning: "what the letters say: name or size of the part; it is no hallmark", Source: practice},
	rule("mark.height", "mm", 0.5, 8, "the least that keeps strokes and gaps, from 1 mm", "2", "height of its capitals", letters),
	number("mark.depth", "mm", 0.05, 0.6, 0.2, "depth of the letters, or of the field round them, below the finished underside", letters),
	number("mark.stroke", "mm", 0.1, 0.6, 0.2, "thinnest stroke, and narrowest gap between strokes, that printer and caster keep", letters),
	choice("hallmark.place", "none", "where a flat for the hallmark is kept clear: the underside of the block, which is solid; a domed or hollowed one is cut level there", practice,
		"none", "block"),
	number("hallmark.length", "mm", 1.5, 10, 4, "length of the flat for the hallmark, across the chain", "common practice, no source: a row of marks of 0.75 to 1 mm"),
	number("hallmark.width", "mm", 0.8, 5, 2, "width of the flat for the hallmark, along the chain", "common practice, no source"),

	stock("face", 0.20, "top, underside and outer sides"),
	stock("pad", 0.15, "the faces that are soldered to the chain"),
	stock("meeting", 0.10, "the faces where box and block meet"),
	stock("leaf", 0.10, "the leaf's outside and edges, the neck and the root pad"),
	stock("shoulder", 0.15, "the shoulders' rear edge, which catches behind the lip"),
	stock("lip", 0.05, "the lip's underside and entry"),
	stock("chamber", 0.05, "the inside of the chamber"),
	stock("tab", 0.10, "thumb tab and notch"),
	stock("window", 0.05, "the window's edges and the outside of the fold's end"),

	{Name: "casting.profile", Kind: Text, Default: math.NaN(), Rule: "no profile; the rows below hold", Example: `"caster.toml"`,
		Meaning: "file with the caster's profile, beside the job file: it gives the rows of casting and stock that the job does not", Source: practice},
	choice("casting.scales", "us", "who allows for shrinkage: us, so that the pattern is grown, or the house, so that it is not", "common practice, no source; never both",
		"us", "house"),
	rule("casting.growth", "", 1, 1.1, "1.015 for gold and silver, 1.020 for platinum and palladium", "1.015", "pattern over casting, for the shrinkage of metal and pattern; 1 if the caster scales", "common practice, no source; ask the caster, and never scale twice"),
	rule("casting.growth_x", "", 1, 1.1, "as casting.growth", "1.015", "the same along the chain", practice),
	rule("casting.growth_y", "", 1, 1.1, "as casting.growth", "1.015", "the same across the chain", practice),
	rule("casting.growth_z", "", 1, 1.1, "as casting.growth", "1.015", "the same through the thickness", practice),
	number("casting.loss", "%", 0, 15, 0.5, "metal lost in melting and pouring, of all that is poured", "common practice, no source: 0.1 to 0.5 % a melt"),
	number("casting.grade", "", 1, 10, 4, "grade of the caster's tolerance, DCTG of ISO 8062-3, a whole number", "ISO 8062-3:2007, table 2; 4 is the finer end of what investment castings are quoted at"),
	rule("casting.wall", "mm", 0.3, 1.5, "0.5 mm in gold and trial metals, 0.8 mm in silver, platinum, palladium", "0.5", "least finished wall that the caster fills", caster),
	number("casting.gap", "mm", 0.2, 1, 0.5, "least slot of the casting that investment fills and stands in", "a casting house's guideline, gaps of 0.2 mm and more between parts; for a deep slot 0.5 mm: common practice, no source"),
	number("casting.core", "", 2, 30, 10, "greatest depth of a hollow over its bore at which the core stands", practice),
	number("casting.hole", "", 0.5, 8, 4, "greatest depth of a through hole over its diameter that is cast; half of it for a blind one", "through 4, blind 2: trade page without address"),
	choice("casting.seats", "dimples", "how seats of stones are printed: as dimples to drill from, or as holes", "a casting house's guideline: holes deeper than 0.3 mm as pilot dimples",
		"dimples", "holes"),
	choice("casting.gate_by", "given", "how gates are sized: as casting.gate and casting.gate_length have it, or for each part by the modulus rule, so that the gate freezes after the part",
		"4 x 1.2 x modulus; Chvorinov's rule (M. P. Groover, Fundamentals of Modern Manufacturing), feeder 1.2 times the casting: Caine's criterion", "given", "modulus"),
	number("casting.gate", "mm", 1.5, 10, 2.5, "diameter of the gate of each part", "common practice, no source: 2 to 3 mm round"),
	number("casting.gate_length", "mm", 2, 15, 6, "length of the gate of each part", "common practice, no source: 4 to 10 mm"),
	choice("casting.stub", "none", "gates as part of the pattern: a round bar out of the middle of the end of box and block, which is filed anyway; the caster sets all others",
		"common practice, no source", "none", "ends"),
	rule("casting.button", "g", 0, 200, "the greater of 5 g and a third of castings and gates", "8", "metal that stays in the sprue and the button", "common practice, no source: casters name 5 g and more, or a quarter to a half of the casting"),

	number("mesh.tolerance", "mm", 0.001, 0.02, 0.005, "greatest distance between mesh and surface", "a caster asks for a chord error of 0.015 mm; finer is common practice, no source"),

	number("gauge.allowance", "mm", 0.03, 0.3, 0.1, "by how much the filed section may be larger than drawn, or its crown lower: go and no-go of the crown gauge", "common practice, no source; not less than the printer of the gauge keeps"),
	number("gauge.step", "mm", 0.01, 0.08, 0.03, "steps of the clearance, a side, from slot to slot of the fit coupon", fitting),

	choice("print.pose", "best", "how parts are turned on the printer's plate in the 3MF files: the best pose found, or as they are drawn, face up", practice,
		"best", "drawn"),
	number("print.layer", "mm", 0.01, 0.1, 0.025, "thickness of the printer's layers", "common practice, no source: resin printers for casting, 0.025 to 0.05 mm"),
	number("print.angle", "deg", 20, 70, 45, "steepness from level below which a face that looks down wants supports", "common practice, no source"),

	choice("paper.size", "a4", "size of the printed papers", practice, "a4", "letter"),
	{Name: "job.name", Kind: Text, Default: math.NaN(), Word: "lock", Example: `"lock"`, Meaning: "name of the job, printed on papers", Source: practice},
}

func number(name, unit string, least, most, value float64, meaning, source string) Key {
	return Key{Name: name, Kind: Number, Unit: unit, Min: least, Max: most, Default: value, Example: plain(value), Meaning: meaning, Source: source}
}

func rule(name, unit string, least, most float64, how, example, meaning, source string) Key {
	k := number(name, unit, least, most, math.NaN(), meaning, source)
	k.Rule, k.Example = how, example
	return k
}

func required(name string, least, most float64, flag, example, meaning, source string) Key {
	k := number(name, "mm", least, most, math.NaN(), meaning, source)
	k.Required, k.Flag, k.Example = true, flag, example
	return k
}

func choice(name, word, meaning, source string, words ...string) Key {
	return Key{Name: name, Kind: Choice, Default: math.NaN(), Word: word, Choices: words, Example: `"` + word + `"`, Meaning: meaning, Source: source}
}

func stock(surface string, value float64, meaning string) Key {
	return number("stock."+surface, "mm", 0, 0.6, value, "metal left for filing and polishing on "+meaning, filing)
}
