package export

import "strings"

// cautions are the usual hazards of making and wearing such a lock: a topic and what to mind.
var cautions = [][2]string{
	{"melt, torch", "dry moulds and tools, since trapped moisture explodes; face shield, gloves, natural fibres; flashback " +
		"arrestors; dark glasses for platinum; never alone"},
	{"solder, flux", "no cadmium solder: its fume injures the lungs without warning; fluoride flux only under an extractor"},
	{"pickle", "warm and covered, never boiling; acid into water; rinse the chamber until nothing seeps out"},
	{"dust", "investment holds silica: keep it wet, wear a respirator; polish under an extractor, save the lemel"},
	{"resin", "uncured print resin sensitises the skin: nitrile gloves, wash, cure; burn out under an extractor"},
	{"wheel", "a chain on a running wheel whips and takes fingers: hold it on a board, never wrapped round the hand"},
	{"wearing", "a soldered heavy chain has no weak link: off at machines, sport and sleep; not for children, whom it can " +
		"choke; off in pool and hot tub, chlorine cracks a leaf; sharp edges snag, ease them; a worn lip opens by itself, have it looked at"},
	{"skin, mark", "nickel white alloys only where the nickel rules of the country allow; the mark follows the lower " +
		"fineness of box, tongue and catch"},
}

func sheetCautions(b *strings.Builder) {
	heading(b, "cautions")
	for _, c := range cautions {
		paragraph(b, c[0], c[1])
	}
	paragraph(b, "above all", "local codes, the makers' safety sheets and licensed practice go before anything on this sheet")
}
