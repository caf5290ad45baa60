package works

import (
	"archive/zip"
	"bytes"
	"context"
	"fmt"
	"path"
	"strings"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/folder"
	"slabwright/internal/rim/sheets/pack"
	"slabwright/internal/rim/store"
	"slabwright/internal/trade/plan"
	"slabwright/internal/trade/working"
)

// Packed is a job's sheets, with the print they are and the plan they tell of.
type Packed struct {
	pack.Pack
	Plan    plan.Plan
	Print   store.Print
	Version string
}

// Zip is files in one archive. Equal files of the same moment give equal bytes.
func Zip(files []folder.File, at time.Time) ([]byte, error) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, f := range files {
		out, err := z.CreateHeader(&zip.FileHeader{Name: f.Name, Method: zip.Deflate, Modified: at.UTC()})
		if err != nil {
			return nil, err
		}
		if _, err := out.Write(f.Data); err != nil {
			return nil, err
		}
	}
	err := z.Close()
	return b.Bytes(), err
}

func packKey(ctx context.Context, w *Works, k *kept) (string, error) {
	parts, err := w.versions(ctx, k)
	return w.key("pack", parts...), err
}

func packsKey(ctx context.Context, w *Works, k *kept) (string, error) {
	parts, err := w.versions(ctx, k)
	return w.key("packs", append(parts, k.day)...), err
}

// versions are what the packs of the jobs depend on.
func (w *Works) versions(ctx context.Context, k *kept) (parts []string, err error) {
	for _, a := range k.jobs {
		version, err := w.Drawn(ctx, a.id)
		if err != nil {
			return nil, err
		}
		parts = append(parts, a.id, version)
	}
	return parts, nil
}

func packOne(ctx context.Context, w *Works, k kept) (found finding, err error) {
	a := k.jobs[0]
	made, err := w.Draw(ctx, a.id)
	if err != nil {
		return found, err
	}
	found.Name, found.Media = fmt.Sprintf("sheets-R%d.zip", made.Print.Number), "application/zip"
	found.Bytes, err = Zip(made.Files, made.Print.Printed)
	return found, err
}

// packAll puts the whole pack of every job of a day into one archive, each in its folder, with one print set of what the crews carry
// in front. A job whose sheets cannot be drawn is named in a list instead.
func packAll(ctx context.Context, w *Works, k kept) (found finding, err error) {
	var day quantity.Date
	if err := day.UnmarshalText([]byte(k.day)); err != nil {
		return found, cannot("`" + k.day + "` is no day. Ask like 2027-06-17.")
	}
	if len(k.jobs) == 0 {
		return found, cannot("No job pours on " + day.String() + ".")
	}
	var files []folder.File
	var plans []plan.Plan
	var problems []string
	latest := time.Time{}
	for i, a := range k.jobs {
		if err := ctx.Err(); err != nil {
			return found, err
		}
		made, err := w.Draw(ctx, a.id)
		working.Tell(ctx, 0.9*float64(i+1)/float64(len(k.jobs)))
		if err != nil {
			problems = append(problems, fmt.Sprintf("%s: %v", a.plan.Job.Title(), err))
			continue
		}
		plans = append(plans, made.Plan)
		if made.Print.Printed.After(latest) {
			latest = made.Print.Printed
		}
		into := folderName(a, i)
		for _, f := range made.Files {
			files = append(files, folder.File{Name: path.Join(into, f.Name), Data: f.Data})
		}
		for _, p := range made.Problems {
			problems = append(problems, a.plan.Job.Title()+": "+p)
		}
	}
	set, err := pack.Day(day, plans)
	if err != nil {
		problems = append(problems, err.Error())
	}
	problems = append(problems, set.Problems...)
	files = append(set.Files, files...)
	if len(problems) > 0 {
		files = append(files, folder.File{Name: "could-not-be-drawn.txt", Data: []byte(strings.Join(problems, "\n") + "\n")})
	}
	found.Name, found.Media = "sheets-"+k.day+".zip", "application/zip"
	found.Bytes, err = Zip(files, latest)
	return found, err
}

// folderName is a job's folder in the archive: its number and title in letters every system takes.
func folderName(a asked, i int) string {
	name := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9':
			return r
		}
		return '-'
	}, strings.TrimSpace(a.plan.Job.Number+" "+a.plan.Job.Title()))
	name = strings.Trim(strings.Join(strings.FieldsFunc(name, func(r rune) bool { return r == '-' }), "-"), "-")
	return fmt.Sprintf("%02d-%s", i+1, name[:min(60, len(name))])
}
