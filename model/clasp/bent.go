package clasp

import "claspwright/model/solid"

// The finished tongue in the parts that move apart when its leaf bends: what the block holds, the leaf (built from the spring's
// shape by package motion), and the thumb tab, which stands on the tip. Joined with the relaxed leaf they are
// Tongue(Finished).

// Held is what does not bend: block with its chain end, neck and root pad, up to where the pad has run out into the leaf.
func (l *Lock) Held() (*solid.Solid, error) {
	if l.Rolled() {
		return l.heldStrip()
	}
	short := *l
	short.XFold = l.LeafFrom() + lap // the outline of neck, pad and leaf ends a lap before the fold
	root, err := short.lower(Stock{})
	if err != nil {
		return nil, err
	}
	end, err := l.block(Stock{})
	if err != nil {
		return nil, err
	}
	return solid.Join(append([]*solid.Solid{end}, l.eachLeaf(root)...)...), nil
}

// LeafFrom is where the root pad has wholly run out into the leaf, above and below.
func (l *Lock) LeafFrom() float64 {
	if l.Rolled() {
		return l.XPad - l.Toe + 0.1
	}
	return l.XPad + neckPlayRamp + 0.05
}

// Lap is how far before the fold the wider lower leaf ends; the fold's narrower strip begins as far again before that.
func (l *Lock) Lap() float64 { return lap }

// Tab is the thumb tab where it stands on the relaxed leaf, or both of a double tongue.
func (l *Lock) Tab() (*solid.Solid, error) {
	if l.Rolled() {
		return l.bentTab()
	}
	tab, err := l.tab(Stock{}, l.openedAt(Finished))
	if err != nil || !l.Double() {
		return tab, err
	}
	return solid.Join(l.eachLeaf(tab)...), nil
}
