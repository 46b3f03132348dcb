package model

import (
	"claspwright/model/clasp"
	"claspwright/model/spring"
)

// springLock hands the lock's numbers to the spring.
func springLock(l *clasp.Lock, m spring.Metal) *spring.Lock {
	return &spring.Lock{
		Metal: m, FaceGap: l.FaceGap, Floor: l.Floor, NeckPlay: l.NeckPlay, Mouth: l.Mouth, XNeck: l.XNeck, XPad: l.XPad, ZPad: l.ZPad,
		ZLeaf: l.ZLeaf, Leaf: l.Leaf, Taper: l.Taper, Fold: l.Fold, XTip: l.XTip, XKnee: l.XKnee, XFold: l.XFold, ZUpper: l.ZUpper, ZTip: l.ZTip,
		Chamfer: l.Chamfer, LowerWidth: l.LowerWidth, UpperWidth: l.UpperWidth, NotchWidth: l.NotchWidth,
		TabWidth: l.TabWidth, TabThickness: l.TabThickness, TabTop: l.Thickness + l.TabHeight,
		Lip: l.Lip, LipEntry: l.LipEntry, ZLip: l.ZLip, LipDepth: l.LipDepth, XStep: l.XStep, StepRun: clasp.StepRun, ZFront: l.ZFront,
		Engagement: l.Engagement, Travel: l.Travel, EndPlay: l.EndPlay,
	}
}
