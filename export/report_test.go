package export

import (
	"bytes"
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"claspwright/model"
	"claspwright/model/contour"
	"claspwright/params"
)

func readReport(t *testing.T, c *model.Commission) map[string]any {
	t.Helper()
	data, err := Report(c)
	if err != nil {
		t.Fatal(err)
	}
	var r map[string]any
	if err := json.Unmarshal(data, &r); err != nil {
		t.Fatal(err)
	}
	return r
}

func keysOf(m map[string]any) string {
	var names []string
	for k := range m {
		names = append(names, k)
	}
	slices.Sort(names)
	return strings.Join(names, " ")
}

// The names are those that others build on: they may grow in number, never change.
func TestReportNames(t *testing.T) {
	r := readReport(t, commission(t, plainJob...))
	list := func(name string) map[string]any { return r[name].([]any)[0].(map[string]any) }
	for _, c := range []struct{ what, got, want string }{
		{"report", keysOf(r), "bench casting catch feeding findings fit job job_origin life parts print schema_version sizing spring survey swing tool weights"},
		{"feeding", keysOf(list("feeding")), "ball_mm gate_by_modulus_cut gate_by_modulus_mm gate_mm hot_spot modulus_mm part section_moduli_mm"},
		{"swing", keysOf(list("swing")), "clearance_mm down_deg end up_deg"},
		{"parts", keysOf(list("parts")), "area_mm2 curved_vertex_deviation_mm deviation_mm edge_deviation_mm facets file max min name sharp_edge_to_mesh_mm stage surface_to_mesh_mm vertex_deviation_mm volume_mm3"},
		{"print", keysOf(list("print")), "angle_deg as_drawn layer_mm part pose turn"},
		{"pose", keysOf(list("print")["pose"].(map[string]any)), "foot_mm2 height_mm islands layers mean_step_mm overhang_mm2 overhang_on_mating_mm2 props score_mm2 stepped_mm2"},
		{"weights", keysOf(list("weights")), "alloy casting_g density_g_cm3 fine_g finished_g order_g"},
		{"casting", keysOf(r["casting"].(map[string]any)), "button_g casting_g fine_g gates_g loss_g order_g pours"},
		{"findings", keysOf(list("findings")), "at check grade limit margin measured say unit"},
	} {
		if c.got != c.want {
			t.Errorf("%s has\n%s, want\n%s", c.what, c.got, c.want)
		}
	}
	for _, name := range []string{"side_clearance_mm", "floor_clearance_mm", "face_gap_mm", "engagement_mm"} {
		if _, ok := r["fit"].(map[string]any)[name].(float64); !ok {
			t.Errorf("fit has no number %s", name)
		}
	}
	r = readReport(t, commission(t, append(plainJob, "chain.heights=0 5.2, 3 5.0, -3 5.0, 5 4.65")...))
	if got, want := keysOf(r["crown"].(map[string]any)), "greatest_mm join_mm kind radius_high_mm radius_low_mm radius_mm residuals_mm rms_mm thickness_mm"; got != want {
		t.Errorf("crown has\n%s, want\n%s", got, want)
	}
	if got, want := keysOf(list("survey")), "core file_reach hollows layers narrowest part sharp_edges thickest thinnest"; got != want {
		t.Errorf("survey has\n%s, want\n%s", got, want)
	}
	bench := r["bench"].(map[string]any)
	if got, want := keysOf(bench), "already_too_loose can_be_filed_to_fit castings clearances dearest_dimension dimensions filing fit_after_filing fit_as_cast seed too_tight what_mends_one_spoils_another"; got != want {
		t.Errorf("bench has\n%s, want\n%s", got, want)
	}
	years := r["life"].(map[string]any)
	if got, want := keysOf(years), "blow catch standing_stress wear_mm worn_area_mm2 worn_bearing_mm worn_end_play_mm worn_flat_mm worn_pull_held_n worn_release_n worn_yield_needed_mpa"; got != want {
		t.Errorf("life has\n%s, want\n%s", got, want)
	}
	first := func(name string) map[string]any { return years[name].([]any)[0].(map[string]any) }
	if got, want := keysOf(first("catch"))+" | "+keysOf(first("blow"))+" | "+keysOf(years["standing_stress"].(map[string]any)),
		"friction friction_angle_deg leaf_and_fold_let_go_n leaf_lets_go_n opens_by_itself slope_deg worn | fall_mm mass_g work_mj worn | cold_work_mpa kept_down_mpa per_tenth_mm_mpa why"; got != want {
		t.Errorf("life has\n%s, want\n%s", got, want)
	}
	spring := r["spring"].(map[string]any)
	if got, want := keysOf(spring), "condition deflection_mm fold_factor leaves load_case peak_at peak_part peak_stress_mpa pull push_high_n push_low_n push_n push_together_n release_n release_together_n set_after_first_use_mm stop way yield_kind yield_mpa yield_needed_mpa"; got != want {
		t.Errorf("spring has\n%s, want\n%s", got, want)
	}
	if got, want := keysOf(spring["load_case"].(map[string]any)), "floor_z force_n held_x_below peak_stress_mpa poisson press_max press_min press_mm youngs_mpa"; got != want {
		t.Errorf("load case has\n%s, want\n%s", got, want)
	}
}

func TestReportFigures(t *testing.T) {
	c := commission(t, plainJob...)
	r := readReport(t, c)
	job := r["job"].(map[string]any)
	if len(job) != len(params.Keys()) {
		t.Errorf("%d keys in the job, the table has %d", len(job), len(params.Keys()))
	}
	if job["chain.width"] != 12.4 || job["metal.alloy"] != "au585-yellow" {
		t.Errorf("job has %v and %v", job["chain.width"], job["metal.alloy"])
	}
	for i, p := range r["parts"].([]any) {
		checkPart(t, c.Parts[i], p.(map[string]any))
	}
	if got, want := r["casting"].(map[string]any)["order_g"].(float64), c.Casting.OrderG; math.Abs(got-want) > 5.1e-5 {
		t.Errorf("order %v g, commission has %v", got, want)
	}
}

func checkPart(t *testing.T, p model.Part, got map[string]any) {
	t.Helper()
	lo, hi := contour.Bounds(p.Mesh)
	for name, want := range map[string]float64{"volume_mm3": p.VolumeMM3, "area_mm2": p.AreaMM2, "deviation_mm": p.Proof.DeviationMM} {
		if math.Abs(got[name].(float64)-want) > 5.1e-5 {
			t.Errorf("%s %s: %s %v, want %v", p.Stage, p.Name, name, got[name], want)
		}
	}
	tolerance := 0.005 // the default; a pattern's figures are the casting's, grown
	for name, want := range map[string]float64{"vertex_deviation_mm": p.Proof.VertexMM, "curved_vertex_deviation_mm": p.Proof.CurvedVertexMM,
		"edge_deviation_mm": p.Proof.EdgeMM, "surface_to_mesh_mm": p.Proof.MissMM, "sharp_edge_to_mesh_mm": p.Proof.SharpMM} {
		if v := got[name].(float64); math.Abs(v-want) > 5.1e-7 || v > tolerance {
			t.Errorf("%s %s: %s %v, want %v, at most %g", p.Stage, p.Name, name, v, want, tolerance)
		}
	}
	if v := p.Proof.VertexMM; !(v > 0 && v < 1e-5) {
		t.Errorf("%s %s: vertices of flats are %v mm off, want the rounding of a float32", p.Stage, p.Name, v)
	}
	if x := got["min"].([]any)[0].(float64); math.Abs(x-lo.X) > 5.1e-7 {
		t.Errorf("%s %s: least x %v, want %v", p.Stage, p.Name, x, lo.X)
	}
	if z := got["max"].([]any)[2].(float64); math.Abs(z-hi.Z) > 5.1e-7 {
		t.Errorf("%s %s: greatest z %v, want %v", p.Stage, p.Name, z, hi.Z)
	}
}

func TestFigures(t *testing.T) {
	for _, c := range []struct {
		in   figure
		want string
	}{
		{mm(math.Copysign(0, -1)), "0"}, {mm(-4e-8), "0"}, {mm(0.1 + 0.2), "0.3"}, {mm(math.NaN()), "null"},
		{mm(math.Inf(1)), "null"}, {gram(12.34567), "12.3457"}, {mm(1e-6), "0.000001"},
	} {
		data, err := json.Marshal(c.in)
		if err != nil || string(data) != c.want {
			t.Errorf("%v: got %s (%v), want %s", float64(c.in), data, err, c.want)
		}
	}
}

func TestReportOfNothing(t *testing.T) {
	if _, err := Report(nil); err == nil {
		t.Error("a report of nothing was made")
	}
	data, err := Report(&model.Commission{})
	if err != nil || !bytes.Contains(data, []byte(`"parts": []`)) {
		t.Errorf("an empty commission gives %s, %v; want empty lists", data, err)
	}
}

// What is written as the job makes the same lock again.
func TestJobReadsBack(t *testing.T) {
	for _, sets := range [][]string{plainJob, append([]string{"tongue.leaf=0.6", `job.name=Anna "the first"\`}, plainJob...)} {
		c := commission(t, sets...)
		var b bytes.Buffer
		if err := WriteJob(&b, c.Resolved); err != nil {
			t.Fatal(err)
		}
		job, err := params.Parse("job.toml", b.Bytes(), nil)
		if err != nil {
			t.Fatalf("%v\nin\n%s", err, b.String())
		}
		for _, r := range c.Resolved {
			if got, _ := job.Number(r.Key); !r.IsText && r.Origin == "given" && got != r.Number {
				t.Errorf("%s: %v came back as %v", r.Key, r.Number, got)
			}
			if got, _ := job.Text(r.Key); r.IsText && r.Origin == "given" && got != r.Text {
				t.Errorf("%s: %q came back as %q", r.Key, r.Text, got)
			}
		}
		if n := strings.Count(b.String(), " = "); n != len(params.Keys()) {
			t.Errorf("%d keys written, the table has %d", n, len(params.Keys()))
		}
	}
}
