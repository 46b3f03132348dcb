// Package model turns one job into one commission: the lock's parts in their three stages, their weights, and what
// the checks found.
package model

import (
	"claspwright/model/casting"
	"claspwright/model/chain"
	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/finding"
	"claspwright/model/fit"
	"claspwright/model/solid"
	"claspwright/params"
)

// Want says how far Make goes.
type Want struct {
	Stages  []clasp.Stage // which stages to mesh; the finished stage is always made
	Prove   bool          // every mesh through contour.Verify
	Weights bool          // volumes and weights in every alloy
	Checks  bool          // findings and fit
}

// Commission is everything that follows from one job.
type Commission struct {
	Job      *params.Job
	Resolved []params.Resolved // every key with its value and where it came from, in the order of the key table
	Lock     *clasp.Lock       // the dimensions of the finished lock
	Sizing   *Sizing           // how the leaf was sized; nil when the job leaves nothing to find
	Crown    *chain.Crown      // as fitted to readings, nil without
	Parts    []Part            // box, tongue and a loose floor, finished, casting and pattern, as far as wanted
	Poses    []PrintPose       // of the patterns on the printer's plate, in their order
	Weights  []Weight          // one row an alloy, the job's own first
	Strip    *Strip            // the leaf of rolled strip; nil where the leaf is cast with the block
	Casting  casting.Order     // what to pour for the job's own alloys, in all
	Pours    []Pour            // the same by alloy: one pour, or two when the tongue is of another alloy
	Feeds    []Feed            // how each part is fed; nil unless checks or gates by the modulus rule are wanted
	Fit      Fit
	Catch    *Catch         // the safety catch; nil without one
	Spring   *Spring        // the leaf's spring; nil unless checks are wanted
	Surveys  []Survey       // of the finished parts; nil unless checks are wanted
	Motion   *Motion        // the bent leaf moved through the box; nil unless checks are wanted
	Bench    *fit.Result    // castings drawn and filed to fit; nil unless checks are wanted
	Life     *Life          // worn, pulled on a slope, under standing stress, struck; nil unless checks are wanted
	Swing    [2]chain.Swing // of the next link, at the box and at the block
	Findings []finding.Finding
	sized    *params.Job // the job with what was found put in
	layers   bool        // parts are looked at layer by layer: for those that will be printed
}

// Part is one part of the lock at one stage.
type Part struct {
	Name      string       // "box", "tongue" or "floor"
	Stage     clasp.Stage  // finished, casting, pattern
	Solid     *solid.Solid // for the pattern: the casting's solid, before growth
	Mesh      *contour.Mesh
	Proof     contour.Proof // what Verify measured
	VolumeMM3 float64
	AreaMM2   float64
	Stub      casting.Gate // the gate that a casting or a pattern carries as part of itself, in the casting's mm; empty without
}

// Pour is what is melted and cast at one time.
type Pour struct {
	Parts []string     // those of one alloy
	Alloy params.Alloy // its ID is the id, or the composition as the user wrote it
	Order casting.Order
}

// Weight is the lock in one alloy.
type Weight struct {
	Alloy    string  // id, or the composition as the user wrote it
	Metal    string  // what the alloy is sold as, of the box
	Fineness float64 // of the box, parts per thousand; 0 for a trial casting
	Density  float64 // g/cm3
	Finished float64 // g, all parts
	Casting  float64 // g, all parts as they come from the caster, gates off
	Fine     float64 // g of fine metal in the finished lock
	Order    float64 // g of alloy to supply: casting, gates, button and the usual loss
	Refused  string  // why the lock cannot be made in this alloy; the figures are then zero
}

// Fit is how the closed finished halves meet, each measured on the solids, mm.
type Fit struct {
	SideClearance  float64 // leaf edge to chamber wall, each side, lower leaf
	UpperClearance float64 // the same, upper leaf
	FloorClearance float64 // lower leaf to floor
	NeckClearance  float64 // neck to lip above
	FaceGap        float64 // box to block
	Engagement     float64 // shoulders' top above the lip's edge
	EndPlay        float64 // shoulder to lip along x
	TopGap         float64 // leaf to roof, at the tip
	TabHeight      float64 // tab above the face
	FoldRoom       float64 // fold to end wall
	FoldHeadroom   float64 // fold to roof
	NotchClearance float64 // tab to notch, each side
}
