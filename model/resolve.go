package model

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model/casting"
	"claspwright/model/clasp"
	"claspwright/params"
)

// resolve lists every key with its value, in the order of the table: what the lock used, what the job gave, and the
// defaults of the rest.
func resolve(job *params.Job, lock *clasp.Lock, alloy params.Alloy, grow r3.Vec) []params.Resolved {
	used := map[string]params.Resolved{}
	for _, r := range lock.Resolved {
		used[r.Key] = r
	}
	for key, v := range map[string]float64{"casting.growth": casting.Growth(alloy.Metal), "casting.growth_x": grow.X, "casting.growth_y": grow.Y, "casting.growth_z": grow.Z} {
		used[key] = byRule(params.Resolved{Key: key, Number: v})
		if scaledByHouse(job) {
			used[key] = params.Resolved{Key: key, Number: 1, Origin: "rule: the caster scales"}
		}
	}
	used["casting.wall"] = byRule(params.Resolved{Key: "casting.wall", Number: leastWall(alloy.Metal)})
	used["catch.alloy"] = byRule(params.Resolved{Key: "catch.alloy", Text: alloy.ID, IsText: true})
	used["tongue.alloy"] = byRule(params.Resolved{Key: "tongue.alloy", Text: alloy.ID, IsText: true})
	strip, own := job.Text("tongue.alloy")
	if !own {
		strip = alloy.ID
	}
	used["strip.alloy"] = byRule(params.Resolved{Key: "strip.alloy", Text: strip, IsText: true})
	if hardRolled(job) {
		used["tongue.condition"] = params.Resolved{Key: "tongue.condition", Text: condition(job), IsText: true, Origin: "rule: strip that is not soldered is hard-rolled"}
	}
	var out []params.Resolved
	for _, k := range params.Keys() {
		r, ok := used[k.Name]
		if !ok || given(job, k) {
			r = plain(job, k, r)
		}
		r.Unit = string(k.Unit)
		out = append(out, r)
	}
	return out
}

// byRule notes the table's rule as the origin of a value.
func byRule(r params.Resolved) params.Resolved {
	k, _ := params.Lookup(r.Key)
	r.Origin = "rule: " + k.Rule
	return r
}

func given(job *params.Job, k params.Key) bool { return job.Origin(k.Name) != "" }

// plain is the key as the job or the table has it; a rule that nothing has evaluated yet is shown as its text.
func plain(job *params.Job, k params.Key, r params.Resolved) params.Resolved {
	r.Key, r.Origin = k.Name, "default"
	if origin := job.Origin(k.Name); origin != "" {
		r.Origin = origin
	}
	if v, _ := job.Number(k.Name); !math.IsNaN(v) {
		r.Number = v
		return r
	}
	r.Text, _ = job.Text(k.Name)
	r.IsText = true
	if k.Rule != "" && r.Origin == "default" {
		r.Origin = "rule: " + k.Rule
	}
	return r
}
