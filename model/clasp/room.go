package clasp

import "claspwright/params"

// Room is what a job leaves to the leaf before the leaf is chosen, mm.
type Room struct {
	Height float64 // that two leaves, the slot of the fold and the rise may share, with the least floor and roof or those given
	Rise   float64
	Width  float64 // of the chamber
}

// RoomFor measures the room of a job's lock. hollowRise is what a hollowed underside takes, as in Lock.
func RoomFor(job *params.Job, metal string, top *Top, hollowRise float64) Room {
	d := &deriver{job: job, l: &Lock{Metal: metal, HollowRise: hollowRise}, top: top}
	d.l.Make, _ = job.Text("tongue.make")
	d.chain()
	d.walls()
	d.ends()
	l := d.l
	l.Rise, l.TopGap, l.FloorPlay = d.set("tongue.rise"), d.set("tongue.top_gap"), d.set("tongue.floor_play")
	l.Engagement, l.Taper = d.set("tongue.engagement"), d.set("tongue.taper")
	return Room{Height: d.spare(l.Thickness, leafChoice{}) + l.Rise, Rise: l.Rise, Width: l.Chamber}
}
