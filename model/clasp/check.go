package clasp

import "fmt"

// check refuses what the rules let through but no lock can have, all with the key that is in the way.
func (d *deriver) check() error {
	l := d.l
	inner := l.Mouth
	if !l.Slitted() {
		inner = stack(l.FloorPlay, l.Leaf, l.Fold, l.Rise, l.Engagement, l.TopGap)
	}
	roof := (l.Thickness - l.Floor - inner - l.top().fall(l.Outer())) / l.top().upright(1, l.Outer())
	lugLo, lugHi := l.lugHeight()
	if err := l.checkCore(); err != nil {
		return err
	}
	if err := l.checkFloor(); err != nil {
		return err
	}
	if l.Slitted() {
		if err := d.checkSlit(); err != nil {
			return err
		}
	}
	folded := !l.Slitted()
	for _, c := range []struct {
		bad       bool
		key, say  string
		remedy    string
		args, rem []any
	}{
		{roof < l.Roof-1e-6, "lock.roof", "%.4g mm and lock.floor_wall %.4g mm contradict each other: together they leave too little of the thickness", "give one of the two; with this floor the roof can have %.2f mm", []any{l.Roof, l.FloorWall}, []any{Down(roof)}},
		{roof > l.Roof+1e-6, "lock.roof", "%.4g mm and lock.floor_wall %.4g mm contradict each other: together they do not fill the thickness", "give one of the two; with this floor the roof has %.2f mm", []any{l.Roof, l.FloorWall}, []any{Down(roof)}},
		{!l.Double() && l.Chamber < 3, "lock.wall", "%.4g mm leaves a chamber only %.2f mm wide", "at most %.2f mm at this width", []any{l.Wall, l.Chamber}, []any{Down((l.Width - 3) / 2)}},
		{folded && l.Shoulder() < 1.0-1e-9, "tab.width", "%.4g mm leaves shoulders of %.2f mm beside the notch, at least 1.0 mm each", "tab.width of %.2f mm or less, or thinner side walls", []any{l.TabWidth, l.Shoulder()}, []any{Down(l.UpperWidth - 2 - 0.3)}},
		{l.FloorKind == "window" && l.XWindow < l.XPad+0.5, "window.length", "%.4g mm does not fit between root pad and fold", "at most %.2f mm with this leaf", []any{l.WindowLength}, []any{Down(l.XFold - 0.2 - l.XPad - 0.5)}},
		{l.WindowWidth > l.Chamber-1, "window.width", "%.4g mm leaves no floor beside it in a chamber %.2f mm wide", "at most %.2f mm", []any{l.WindowWidth, l.Chamber}, []any{Down(l.Chamber - 1)}},
		{l.TabHeight < l.Travel, "tab.height", "%.4g mm is less than the way the tab is pressed, %.2f mm", "at least %.2f mm", []any{l.TabHeight, l.Travel}, []any{Up(l.Travel + 0.3)}},
		{folded && l.ZPad < l.ZLeaf+l.Leaf+0.05, "tongue.rise", "%.4g mm leaves no height for the root pad, the stop of the pressed leaf", "a larger rise, fold or leaf", []any{l.Rise}, nil},
		{l.EndPlay < 0.05, "tongue.end_play", "%.4g mm lets the pressed tip strike the lip", "at least 0.05 mm", []any{l.EndPlay}, nil},
		{folded && l.EndPlay < l.shoulderLean()+0.01, "tongue.end_play", "%.4g mm lets the shoulders strike the sloped lip, which stands %.2f mm into it there", "at least %.2f mm, or a smaller lock.lip_slope", []any{l.EndPlay, l.shoulderLean()}, []any{Up(l.shoulderLean() + 0.01)}},
		{l.Edge > 0.6*l.Wall+0.3, "chain.edge", "%.4g mm breaks into the chamber's walls of %.2f mm", "at most %.2f mm", []any{l.Edge, l.Wall}, []any{Down(0.6*l.Wall + 0.3)}},
		{l.Lip < 0.3+l.LipEntry, "lock.lip", "%.4g mm leaves no neck under the lip", "at least %.2f mm", []any{l.Lip}, []any{Up(0.3 + l.LipEntry)}},
		{l.End == "cradle" && l.EndWall-l.groove() < 0.6, "lock.end_wall", "%.4g mm leaves %.2f mm behind the cradle's groove", "at least %.2f mm, or a smaller cradle.sink", []any{l.EndWall, l.EndWall - l.groove()}, []any{Up(0.6 + l.groove())}},
		{l.End == "cradle" && l.Block-l.groove() < 1.5, "cradle.sink", "%.4g mm leaves too little of the block", "at most %.2f mm", []any{l.CradleSink}, []any{Down(l.Block - 1.5 - l.CradlePlay)}},
		{l.End == "cradle" && l.CradleSink > l.Wire, "cradle.sink", "%.4g mm buries the wire of %.2f mm", "at most %.2f mm", []any{l.CradleSink, l.Wire}, []any{Down(l.Wire)}},
		{l.End != "pad" && l.LinkWidth < 0.3, "link.wire", "%.4g mm leaves no opening in a link as wide as the chain", "a third of the width is usual: %.2f mm", []any{l.Wire}, []any{l.Width / 3}},
		{l.End == "lug" && l.LugHole+2*l.LugWall > lugHi-lugLo+1e-9, "lug.hole", "%.4g mm and two walls of %.2f mm do not fit into the height there", "at most %.2f mm", []any{l.LugHole, l.LugWall}, []any{Down(lugHi - lugLo - 2*l.LugWall)}},
		{l.End == "lug" && l.LugHole < 1.1, "lug.hole", "%.4g mm is too small to cast and to hang a link in", "a pad or a cradle, or a thicker chain", []any{l.LugHole}, nil},
		{l.End == "lug" && l.LugThickness > l.Width-2, "lug.thickness", "%.4g mm leaves no room for the link beside it", "at most %.2f mm", []any{l.LugThickness}, []any{Down(l.Width - 2)}},
		{l.Stock.Chamber > l.LipDepth-l.LipRoot-0.05, "stock.chamber", "%.4g mm fills the corner behind the lip, %.2f mm deep", "at most %.2f mm", []any{l.Stock.Chamber, l.LipDepth}, []any{Down(l.LipDepth - l.LipRoot - 0.05)}},
		{folded && l.Stock.Leaf > l.mostLeafStock(), "stock.leaf", "%.4g mm leaves no root pad of %.2f mm between neck and leaf", "at most %.2f mm", []any{l.Stock.Leaf, l.PadLength}, []any{Down(l.mostLeafStock())}},
		{l.End == "lug" && l.LugHole/2-l.Stock.Window < 0.3, "stock.window", "%.4g mm closes the lug's hole of %.2f mm", "at most %.2f mm", []any{l.Stock.Window, l.LugHole}, []any{Down(l.LugHole/2 - 0.3)}},
	} {
		if c.bad {
			return &Refusal{Key: c.key, Say: fmt.Sprintf(c.say, c.args...), Nearest: fmt.Sprintf(c.remedy, c.rem...)}
		}
	}
	return nil
}
