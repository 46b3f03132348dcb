package export

import (
	"errors"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"claspwright/model"
	"claspwright/model/casting"
	"claspwright/model/clasp"
	"claspwright/model/contour"
	"claspwright/model/finding"
	"claspwright/params"
)

// schemaVersion counts changes of the report that take something away; additions do not count.
const schemaVersion = 1

type report struct {
	SchemaVersion int             `json:"schema_version"`
	Tool          string          `json:"tool"`
	Job           object          `json:"job"`        // key: value, in the unit of the key table
	Origin        object          `json:"job_origin"` // key: where the value came from
	Parts         []partReport    `json:"parts"`
	Weights       []weightReport  `json:"weights"`
	Casting       *castingReport  `json:"casting,omitempty"`
	Fit           *fitReport      `json:"fit,omitempty"`
	Spring        *springReport   `json:"spring,omitempty"`
	Sizing        *sizingReport   `json:"sizing,omitempty"`
	Life          *lifeReport     `json:"life,omitempty"`
	Catch         *catchReport    `json:"catch,omitempty"`
	Survey        []surveyReport  `json:"survey,omitempty"`
	Print         []printReport   `json:"print"` // how patterns stand on the printer's plate
	Feeding       []feedReport    `json:"feeding,omitempty"`
	Bench         *benchReport    `json:"bench,omitempty"`
	Crown         *crownReport    `json:"crown,omitempty"`
	Swing         []swingReport   `json:"swing,omitempty"`
	Blank         *blankReport    `json:"blank,omitempty"`
	Marks         *marksReport    `json:"marks,omitempty"`
	Findings      []findingReport `json:"findings"`
}

type partReport struct {
	Name        string    `json:"name"`
	Stage       string    `json:"stage"`
	File        string    `json:"file"` // its place in the job folder
	VolumeMM3   figure    `json:"volume_mm3"`
	StubMM3     figure    `json:"stub_mm3,omitempty"` // of the volume: the gate that a casting carries, and that its weight leaves out
	AreaMM2     figure    `json:"area_mm2"`
	Facets      int       `json:"facets"`
	Min         [3]figure `json:"min"`
	Max         [3]figure `json:"max"`
	DeviationMM figure    `json:"deviation_mm"` // of any point of the mesh from the true surface, at most

	// More of what was proven of the mesh, all mm.
	Vertex       figure `json:"vertex_deviation_mm"`        // of vertices on flats and straight edges, from the surface
	CurvedVertex figure `json:"curved_vertex_deviation_mm"` // of vertices on curved faces and edges, from the surface
	Edge         figure `json:"edge_deviation_mm"`          // of curved sharp edges of the mesh, from the true ones
	Surface      figure `json:"surface_to_mesh_mm"`         // of samples of the true surface, from the mesh
	SharpEdge    figure `json:"sharp_edge_to_mesh_mm"`      // of samples of the true sharp edges, from those of the mesh
}

type weightReport struct {
	Alloy    string `json:"alloy"`
	Density  figure `json:"density_g_cm3"`
	Finished figure `json:"finished_g"`
	Casting  figure `json:"casting_g"`
	Fine     figure `json:"fine_g"`
	Order    figure `json:"order_g"`
	Refused  string `json:"refused,omitempty"` // why the lock cannot be made in this alloy
}

type orderReport struct {
	Casting figure `json:"casting_g"`
	Gates   figure `json:"gates_g"`
	Button  figure `json:"button_g"`
	Loss    figure `json:"loss_g"`
	Order   figure `json:"order_g"`
	Fine    figure `json:"fine_g"`
}

// castingReport is the order in all, and each pour for itself.
type castingReport struct {
	orderReport
	Pours []pourReport `json:"pours"`
}

type pourReport struct {
	Parts []string `json:"parts"`
	Alloy string   `json:"alloy"`
	orderReport
}

type fitReport struct {
	Side           figure `json:"side_clearance_mm"`
	Upper          figure `json:"upper_clearance_mm"`
	Floor          figure `json:"floor_clearance_mm"`
	Neck           figure `json:"neck_clearance_mm"`
	FaceGap        figure `json:"face_gap_mm"`
	Engagement     figure `json:"engagement_mm"`
	EndPlay        figure `json:"end_play_mm"`
	TopGap         figure `json:"top_gap_mm"`
	TabHeight      figure `json:"tab_height_mm"`
	FoldRoom       figure `json:"fold_room_mm"`
	FoldHeadroom   figure `json:"fold_headroom_mm"`
	NotchClearance figure `json:"notch_clearance_mm"`
}

type findingReport struct {
	Check    string    `json:"check"`
	Grade    string    `json:"grade"`
	Measured figure    `json:"measured"`
	Limit    figure    `json:"limit"`
	Margin   figure    `json:"margin"`
	Unit     string    `json:"unit"`
	At       [3]figure `json:"at"`
	Say      string    `json:"say"`
}

// errNothing is what a commission that is not there gives.
var errNothing = errors.New("export: there is no commission to write")

// Report is the whole commission as one JSON document, the same that a job folder holds as report.json. Its schema
// only grows within one schema_version. Coordinates are mm in the lock's frame.
func Report(c *model.Commission) ([]byte, error) {
	if c == nil {
		return nil, errNothing
	}
	r := report{
		SchemaVersion: schemaVersion,
		Tool:          signature(),
		Job:           flat(c.Resolved, value),
		Origin:        flat(c.Resolved, func(r params.Resolved) any { return r.Origin }),
		Parts:         each(append(slices.Clone(c.Parts), c.Strips()...), partOf),
		Weights:       each(c.Weights, weightOf),
		Print:         each(c.Poses, printOf),
		Feeding:       each(c.Feeds, feedOf),
		Findings:      each(c.Findings, findingOf),
		Spring:        springOf(c.Spring, yLeaf(c)),
		Sizing:        sizingOf(c.Sizing),
		Life:          lifeOf(c.Life),
		Catch:         catchOf(c),
		Survey:        each(c.Surveys, surveyOf),
		Bench:         benchOf(c.Bench),
		Crown:         crownOf(c.Crown),
		Swing:         swingsOf(c),
		Blank:         blankOf(c),
		Marks:         marksOf(c),
	}
	if c.Casting != (casting.Order{}) {
		r.Casting = &castingReport{orderOf(c.Casting), each(c.Pours, pourOf)}
	}
	if c.Fit != (model.Fit{}) {
		r.Fit = fitOf(c.Fit)
	}
	return pretty(r)
}

// each never gives nil, which would be null instead of an empty list.
func each[A, B any](in []A, f func(A) B) []B {
	out := make([]B, 0, len(in))
	for _, a := range in {
		out = append(out, f(a))
	}
	return out
}

func flat(rs []params.Resolved, f func(params.Resolved) any) object {
	o := make(object, 0, len(rs))
	for _, r := range rs {
		o = append(o, entry{r.Key, f(r)})
	}
	return o
}

func value(r params.Resolved) any {
	if r.IsText {
		return r.Text
	}
	return mm(r.Number)
}

// file is where a part stands in the job folder: what the printer builds lies on top.
func file(p model.Part) string {
	if p.Stage == clasp.Pattern {
		return p.Name + ".stl"
	}
	return string(p.Stage) + "/" + p.Name + ".stl"
}

func partOf(p model.Part) partReport {
	r := partReport{
		Name: p.Name, Stage: string(p.Stage), File: file(p), VolumeMM3: gram(p.VolumeMM3), AreaMM2: gram(p.AreaMM2),
		DeviationMM: mm(p.Proof.DeviationMM), Vertex: mm(p.Proof.VertexMM), CurvedVertex: mm(p.Proof.CurvedVertexMM),
		Edge: mm(p.Proof.EdgeMM), Surface: mm(p.Proof.MissMM), SharpEdge: mm(p.Proof.SharpMM),
	}
	if p.Stage == clasp.Casting {
		r.StubMM3 = gram(p.Stub.Volume())
	}
	if p.Mesh != nil {
		lo, hi := contour.Bounds(p.Mesh)
		r.Facets, r.Min, r.Max = len(p.Mesh.T), point(lo), point(hi)
	}
	return r
}

func point(v r3.Vec) [3]figure { return [3]figure{mm(v.X), mm(v.Y), mm(v.Z)} }

func weightOf(w model.Weight) weightReport {
	return weightReport{
		Alloy: w.Alloy, Density: gram(w.Density), Finished: gram(w.Finished), Casting: gram(w.Casting),
		Fine: gram(w.Fine), Order: gram(w.Order), Refused: w.Refused,
	}
}

func pourOf(p model.Pour) pourReport { return pourReport{p.Parts, p.Alloy.ID, orderOf(p.Order)} }

func orderOf(o casting.Order) orderReport {
	return orderReport{
		Casting: gram(o.CastingG), Gates: gram(o.GatesG), Button: gram(o.ButtonG), Loss: gram(o.LossG),
		Order: gram(o.OrderG), Fine: gram(o.FineG),
	}
}

func fitOf(f model.Fit) *fitReport {
	return &fitReport{
		Side: mm(f.SideClearance), Upper: mm(f.UpperClearance), Floor: mm(f.FloorClearance), Neck: mm(f.NeckClearance),
		FaceGap: mm(f.FaceGap), Engagement: mm(f.Engagement), EndPlay: mm(f.EndPlay), TopGap: mm(f.TopGap),
		TabHeight: mm(f.TabHeight), FoldRoom: mm(f.FoldRoom), FoldHeadroom: mm(f.FoldHeadroom),
		NotchClearance: mm(f.NotchClearance),
	}
}

func findingOf(f finding.Finding) findingReport {
	return findingReport{
		Check: f.Check, Grade: string(f.Grade), Measured: mm(f.Measured), Limit: mm(f.Limit), Margin: mm(f.Margin),
		Unit: f.Unit, At: point(f.At), Say: f.Say,
	}
}
