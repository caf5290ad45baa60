package api

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"slabwright/internal/faces/speak"
	"slabwright/internal/rim/fields"
	"slabwright/internal/rim/store"
	"slabwright/internal/rim/works"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/plan"
	"slabwright/internal/trade/week"
	"slabwright/internal/trade/working"
)

// Question asks for answers of a job, as it stands or with some fields tried differently.
type Question struct {
	Questions []string     `json:"questions,omitempty"` // stages; none: all but the deep ones
	Sets      []fields.Set `json:"sets,omitempty"`      // tried, not stored
	Coarse    bool         `json:"coarse,omitempty"`    // figures and checks only, of the stages asked for: no guesses, no pictures
	Seq       int64        `json:"seq,omitempty"`       // rises with every question of a device: an older one is not answered once a newer came
	Device    string       `json:"device,omitempty"`
	Results   []string     `json:"results,omitempty"` // stages whose whole result comes too: what a plan is drawn from, in metres
}

// Answers is what a job's stages answer.
type Answers struct {
	Seq          int64            `json:"seq"`
	Revision     int64            `json:"revision"`
	Coarse       bool             `json:"coarse"`
	Title        string           `json:"title"`
	Units        string           `json:"units"`
	AsOf         string           `json:"as_of"`
	Stages       map[string]Stage `json:"stages"`
	Headline     []Figure         `json:"headline"`
	Size         string           `json:"size,omitempty"` // "11 1/4 yd3 to order (10.37 neat + 7 % assumed)"
	Verdict      string           `json:"verdict"`
	Trust        string           `json:"trust"`
	Next         string           `json:"next"` // what to say for more trust
	Cautions     []Check          `json:"cautions"`
	AssumedCount int              `json:"assumed_count"`
	SaidCount    int              `json:"said_count"` // not counted in a coarse answer
	Faults       []Wrong          `json:"faults"`     // left out of the answers: could not be read, or fit no stage
	Notes        []Note           `json:"notes"`
}

// Stage is what one stage answers.
type Stage struct {
	Question string        `json:"question"`
	Answered bool          `json:"answered"`
	Verdict  string        `json:"verdict"`
	Figures  Figures       `json:"figures"`
	Checks   []Check       `json:"checks"`
	Assumed  []Guess       `json:"assumed"`
	Waits    []string      `json:"waits"`             // stages that must answer first; its own name: ask for it as a work
	Faults   []Wrong       `json:"faults"`            // what keeps it from answering
	Problem  string        `json:"problem,omitempty"` // why it could not be worked out
	Pictures []PictureName `json:"pictures"`          // none in a coarse answer
	Result   any           `json:"result,omitempty"`  // where the question asked for it
}

// Value is a number with its unit as the job shows it, in SI, and as a person reads it.
type Value struct {
	Value  *float64 `json:"value,omitempty"`
	Unit   string   `json:"unit,omitempty"`
	SI     *float64 `json:"si,omitempty"`
	SIUnit string   `json:"si_unit,omitempty"`
	Text   string   `json:"text"`
}

// Figure is one answer.
type Figure struct {
	Name   string `json:"name"`
	Says   string `json:"says"`
	Source string `json:"source,omitempty"`
	Value
}

// Figures are by name, in the order they were worked out.
type Figures []Figure

// MarshalJSON writes an object that keeps the order; the last of a name counts.
func (f Figures) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, one := range f {
		if slices.ContainsFunc(f[i+1:], func(later Figure) bool { return later.Name == one.Name }) {
			continue
		}
		name, err := json.Marshal(one.Name)
		if err != nil {
			return nil, err
		}
		body, err := json.Marshal(one)
		if err != nil {
			return nil, err
		}
		if b.Len() > 1 {
			b.WriteByte(',')
		}
		b.Write(name)
		b.WriteByte(':')
		b.Write(body)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// Check is one verdict: good, care, stop or not computed.
type Check struct {
	ID     string   `json:"id"`
	Stage  string   `json:"stage"`
	Level  string   `json:"level"`
	Word   string   `json:"word"` // the level as a person reads it
	Says   string   `json:"says"`
	Value  *Value   `json:"value,omitempty"`
	Limit  *Value   `json:"limit,omitempty"`
	Where  string   `json:"where,omitempty"`
	Source string   `json:"source,omitempty"`
	Then   []string `json:"then,omitempty"`
	Safety bool     `json:"safety,omitempty"`
}

// Guess is one assumed value, where it is set, and what it moves when that has been worked out.
type Guess struct {
	Stage   string `json:"stage"`
	Field   string `json:"field"`
	Pointer string `json:"pointer"`
	Says    string `json:"says"`
	Value   Value  `json:"value"`
	Low     *Value `json:"low,omitempty"`
	High    *Value `json:"high,omitempty"`
	Reason  string `json:"reason"`
	Source  string `json:"source,omitempty"`
	Moves   string `json:"moves,omitempty"`
	Settled bool   `json:"settled,omitempty"` // nobody on a site can measure it
}

func (s *Server) postAnswers(w http.ResponseWriter, r *http.Request) error {
	var q Question
	if err := read(r, &q); err != nil {
		return err
	}
	if err := knownStages(q.Questions); err != nil {
		return err
	}
	a, err := s.answers(r.Context(), r.PathValue("job"), q)
	if err != nil {
		return err
	}
	w.Header().Set("ETag", etag(a.Revision))
	return reply(w, http.StatusOK, a)
}

func knownStages(names []string) error {
	for _, name := range names {
		if _, ok := plan.Find(name); !ok {
			return wrong("/questions", "`"+name+"` is no question.", "Ask for "+strings.Join(plan.Names(), ", ")+".")
		}
	}
	return nil
}

// errPassed is the answer to a question that a newer one of the same device has made useless.
var errPassed = problem(http.StatusConflict, "A newer question of this device has come; this one is not answered.", "Wait for the answer to the newest.")

// asked is a job with its plan.
type asked struct {
	heard
	revision int64
	lists    int64     // revision of the shop's
	plan     plan.Plan // as far as whoever asks sees it
	whole    plan.Plan
	desk     *desk
	sees     sieve
}

// ask reads a job, tries the sets on it and plans what is asked for.
func (s *Server) ask(ctx context.Context, id string, q Question) (asked, error) {
	stored, err := s.store.Job(ctx, id)
	if err != nil {
		return asked{}, err
	}
	d := s.desks.of(id, s.now())
	if q.Seq > 0 && !d.newestFrom(q.Device, q.Seq) {
		return asked{}, errPassed
	}
	doc := stored.Doc
	if len(q.Sets) > 0 {
		state := fields.State{Doc: doc, Shape: shape, Base: stored.Revision}
		if _, err := state.Apply(q.Sets, fields.Author{Seen: stored.Revision}, stored.Revision+1); err != nil {
			return asked{}, err
		}
		doc = state.Doc
	}
	lists, of, err := s.lists(ctx)
	if err != nil {
		return asked{}, err
	}
	h, err := d.hear(s.now().Truncate(planStep), stored.Revision, of, doc, func() (heard, error) { return s.hear(ctx, id, doc, lists) })
	if err != nil {
		return asked{}, err
	}
	if q.Seq > 0 && d.passed(q.Device, q.Seq) {
		return asked{}, errPassed
	}
	names := q.Questions
	if len(names) == 0 {
		names = plan.Usual()
	}
	h.job.Joints.FirstLook = q.Coarse // a drag takes the first good layout
	sees := sieveOf(ctx)
	h.doc, h.faults, h.notes = sees.strip(nil, h.doc), sees.wrongs(h.faults), sees.notes(h.notes)
	whole := d.planner.Kept(h.job, names...)
	return asked{h, stored.Revision, of, sees.plan(whole), whole, d, sees}, nil
}

// heard reads a job for a long work.
func (s *Server) heard(ctx context.Context, id string) (works.Heard, error) {
	a, err := s.ask(ctx, id, Question{Questions: []string{"site"}})
	if err != nil {
		return works.Heard{}, err
	}
	return works.Heard{Job: a.job, Revision: a.revision, Planner: &a.desk.planner}, nil
}

func (s *Server) answers(ctx context.Context, id string, q Question) (Answers, error) {
	a, err := s.ask(ctx, id, q)
	if err != nil {
		return Answers{}, err
	}
	out := a.view(q)
	for _, r := range a.plan.Stages {
		if stage, ok := out.Stages[r.Name]; ok && r.Answered() && slices.Contains(q.Results, r.Name) {
			stage.Result = bare(r.Result)
			out.Stages[r.Name] = stage
		}
	}
	out.Seq = q.Seq
	if len(q.Questions) == 0 && len(q.Sets) == 0 {
		s.summarise(ctx, id, a)
	}
	return out, nil
}

// summarise keeps what a list of jobs shows of a whole plan. It is a convenience: its failure is only logged.
func (s *Server) summarise(ctx context.Context, id string, a asked) {
	if !a.sees.whole() { // its plan lacks what these eyes do not see
		s.refresh.want(s, []string{id})
		return
	}
	if !a.desk.summarise(a.moment()) {
		return
	}
	t := speak.Of(a.job)
	sum := store.Answered{Trust: string(a.plan.Trust())}
	if step, ok := a.plan.Figure("order.yards"); ok {
		sum.Yards = t.Value(step.Value)
	}
	if r, ok := a.plan.Of("pour"); ok && r.Answered() {
		sum.Verdict = check.Worst(r.Checks).Word()
	}
	if at, said := a.job.PourAt(); said {
		sum.PoursOn, sum.FirstTruck = at.Format(time.DateOnly), at.Format("15:04")
	}
	known := week.Of(a.plan)
	if !known.Load.IsZero() {
		sum.ReadyOn = known.Load.ISO()
	}
	if text, err := json.Marshal(known); err == nil {
		sum.Known = string(text)
	}
	if err := s.store.Summarise(ctx, id, a.revision, sum); err != nil {
		s.log.Warn("a job's summary was not kept", "error", err)
	}
}

func (a asked) view(q Question) Answers {
	p, t := a.plan, speak.Of(a.job)
	out := Answers{Revision: a.revision, Coarse: q.Coarse, Title: a.job.Title(), Units: a.job.Units.String(), AsOf: a.job.AsOf.Format("2006-01-02T15:04Z07:00"),
		Stages: map[string]Stage{}, Headline: []Figure{}, Verdict: check.Worst(p.Checks()).Word(), Trust: string(p.Trust()), Next: p.TrustReason(),
		Cautions: []Check{}, Faults: nonNil(a.faults), Notes: nonNil(a.notes)}
	if !q.Coarse {
		out.SaidCount = len(saidIn(a.doc))
	}
	for _, r := range p.Stages {
		out.AssumedCount += len(r.Assumed)
		if q.Coarse && len(q.Questions) > 0 && !slices.Contains(q.Questions, r.Name) {
			continue
		}
		stage := a.stage(r, q.Coarse)
		out.Stages[r.Name] = stage
		out.Faults = append(out.Faults, stage.Faults...)
		for _, c := range r.Checks {
			if c.Safety {
				out.Cautions = append(out.Cautions, checkView(r.Name, c, t, a))
			}
		}
	}
	for _, step := range p.Headlines() {
		out.Headline = append(out.Headline, a.figure(step, t.Headline(step.Value)))
	}
	if r, ok := p.Of("order"); ok && r.Answered() {
		out.Size = p.SizeLine()
	}
	return out
}

// saidIn are the fields of a document a person typed.
func saidIn(doc fields.Value) map[string]fields.Value { return shapeOf.Leaves(doc) }

var shapeOf = fields.Shape(shape)

func (a asked) stage(r plan.Report, coarse bool) Stage {
	t := speak.Of(a.job)
	out := Stage{Question: r.Question, Answered: r.Answered(), Verdict: check.Worst(r.Checks).Word(), Figures: Figures{}, Checks: []Check{}, Assumed: []Guess{},
		Waits: nonNil(r.Waits), Faults: []Wrong{}, Pictures: []PictureName{}}
	for _, f := range r.Faults() {
		out.Faults = append(out.Faults, wrongAt(pointerOf(a.doc, f.Field), f))
	}
	if r.Fault != nil && len(out.Faults) == 0 {
		out.Problem = r.Fault.Error()
	}
	for _, step := range r.Figures() {
		out.Figures = append(out.Figures, a.figure(step, t.Value(step.Value)))
	}
	for _, c := range r.Checks {
		out.Checks = append(out.Checks, checkView(r.Name, c, t, a))
	}
	if !coarse {
		for _, e := range r.Assumed {
			out.Assumed = append(out.Assumed, a.guess(plan.Guess{Stage: r.Name, Entry: e}))
		}
		for _, pic := range r.Drawn() {
			if len(pic.Marks) > 0 {
				out.Pictures = append(out.Pictures, PictureName{pic.Name, r.Name, pic.Title, pic.Says})
			}
		}
	}
	return out
}

func (a asked) figure(step working.Step, text string) Figure {
	v := a.plan.Value(step.Value)
	return Figure{step.Name, step.Says, string(step.Source), Value{v.Value, v.Unit, v.SI, v.SIUnit, text}}
}

func checkView(stage string, c check.Check, t speak.Tongue, a asked) Check {
	out := Check{ID: string(c.ID), Stage: stage, Level: c.Level.Word(), Word: c.Level.String(), Says: t.Says(c.Says), Where: c.Where, Source: string(c.Source), Safety: c.Safety,
		Value: a.shown(c.Value), Limit: a.shown(c.Limit)}
	for _, then := range c.Then {
		out.Then = append(out.Then, t.Says(then))
	}
	return out
}

func (a asked) guess(g plan.Guess) Guess {
	out := Guess{Stage: g.Stage, Field: g.Field, Pointer: pointerOf(a.doc, g.Stage+"."+g.Field).String(), Says: g.Says, Reason: g.Reason, Source: string(g.Source), Settled: g.Settled}
	if v := a.shown(g.Value); v != nil {
		out.Value = *v
	}
	if g.Ranged {
		out.Low, out.High = a.shown(g.Low), a.shown(g.High)
	}
	return out
}

func nonNil[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

func (s *Server) getAnswer(w http.ResponseWriter, r *http.Request) error {
	name := r.PathValue("stage")
	if _, ok := plan.Find(name); !ok {
		return problem(http.StatusNotFound, "There is no question of this name.", "Ask for "+strings.Join(plan.Names(), ", ")+".")
	}
	a, err := s.ask(r.Context(), r.PathValue("job"), Question{Questions: []string{name}})
	if err != nil {
		return err
	}
	report, _ := a.plan.Of(name)
	stage := a.stage(report, false)
	text, err := json.Marshal(stage)
	if err != nil {
		return err
	}
	if fresh(w, r, fmt.Sprintf(`"r%d-%s"`, a.revision, short8(text))) {
		return nil
	}
	return reply(w, http.StatusOK, stage)
}
