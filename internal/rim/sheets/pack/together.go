package pack

import (
	"fmt"
	"runtime"
	"sync"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/rim/sheets/folder"
	"slabwright/internal/rim/sheets/frame"
)

// made is what one piece of work leaves: sheets laid out, files, and what could not be made, in words.
type made struct {
	drafts   []frame.Draft
	first    int             // the number of the first of them in the whole pack
	alone    bool            // the drafts go out as a file of their own too
	picture  drawing.Picture // what a drawing draws
	files    []folder.File
	problems []string
}

func (o *made) add(name string, data []byte) {
	o.files = append(o.files, folder.File{Name: name, Data: data})
}

func (o *made) problem(what string, err error) {
	o.problems = append(o.problems, fmt.Sprintf("%s: %v", what, err))
}

// job is one piece of work on a maker that does not change.
type job func() made

// together shares the work between the processors; what each leaves keeps its place.
func together(jobs []job) []made {
	out := make([]made, len(jobs))
	next := make(chan int)
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for i := range next {
				out[i] = jobs[i]()
			}
		})
	}
	for i := range jobs {
		next <- i
	}
	close(next)
	wait.Wait()
	return out
}
