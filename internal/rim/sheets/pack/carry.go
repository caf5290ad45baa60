package pack

import (
	"bytes"
	_ "embed"
	"encoding/base64"
	"html/template"
	"strings"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/rim/sheets/frame"
	"slabwright/internal/rim/sheets/svg"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/plan"
)

//go:embed carry.html
var carryText string

var carryPage = template.Must(template.New("carry").Parse(carryText))

// carried is the whole job as one page that opens anywhere: what a template needs of a plan, already in words.
type carried struct {
	Block     frame.Block
	DoNotDig  bool
	Practice  bool
	Headlines []said
	Drawings  []carriedDrawing
	Stages    []carriedStage
	Photos    []carriedPhoto
	Assumed   [][4]string
}

// said is a value with its words.
type said struct{ Says, Value string }

type carriedDrawing struct {
	Title, Says string
	SVG         template.HTML
	Table       drawing.Table
}

type carriedPhoto struct {
	Source template.URL
	Says   string
}

type carriedStage struct {
	Question string
	Figures  []said
	Checks   []carriedCheck
	Steps    []carriedStep
}

type carriedCheck struct {
	Shape, Level, Says string
	Then               []string
}

type carriedStep struct{ Says, Formula, Value, From string }

// carry is the whole job as a single page: answers, drawings with their tables, checks, workings and guesses. It needs nothing
// beside it, no network and no script, and can be read aloud, which a PDF of drawings can not.
func (m *maker) carry(set []made) (out made) {
	page := carried{Block: m.block, DoNotDig: m.paper.Banner > 0, Practice: m.plan.Job.Practice}
	for _, h := range m.plan.Headlines() {
		page.Headlines = append(page.Headlines, said{h.Says, m.show(h.Value)})
	}
	for _, part := range set {
		if len(part.drafts) == 0 || !part.drafts[0].Drawing {
			continue
		}
		p := frame.FinishAmong(part.drafts, m.block, 1, 1)[0]
		var vector bytes.Buffer
		if err := svg.Inline(&vector, p); err != nil {
			out.problem(p.Name, err)
			continue
		}
		page.Drawings = append(page.Drawings, carriedDrawing{part.picture.Title, part.picture.Says, template.HTML(vector.String()), part.picture.Table})
	}
	for _, r := range m.plan.Stages {
		if r.Answered() {
			page.Stages = append(page.Stages, m.carriedStage(r))
		}
	}
	for _, s := range m.shots() {
		photo := carriedPhoto{Says: join(", ", s.says...)}
		if s.jpeg != nil {
			photo.Source = template.URL("data:image/jpeg;base64," + base64.StdEncoding.EncodeToString(s.jpeg))
		}
		page.Photos = append(page.Photos, photo)
	}
	for _, g := range m.plan.Guesses() {
		page.Assumed = append(page.Assumed, [4]string{g.Says, m.show(g.Value), m.between(g), g.Reason})
	}
	var text bytes.Buffer
	if err := carryPage.Execute(&text, page); err != nil {
		out.problem("whole-job", err)
		return out
	}
	out.add("whole-job.html", text.Bytes())
	return out
}

func (m *maker) carriedStage(r plan.Report) carriedStage {
	s := carriedStage{Question: r.Question}
	for _, f := range r.Figures() {
		s.Figures = append(s.Figures, said{f.Says, m.show(f.Value)})
	}
	for _, c := range r.Checks {
		shape := map[check.Level]string{check.Stop: "⬣", check.Care: "▲", check.Good: "●"}[c.Level]
		s.Checks = append(s.Checks, carriedCheck{shape, c.Level.String(), c.Says, c.Then})
	}
	for _, step := range r.Working.Steps {
		s.Steps = append(s.Steps, carriedStep{step.Says, step.Formula, m.show(step.Value), strings.Join(step.From, ", ")})
	}
	return s
}
