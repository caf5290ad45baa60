package daywork

import (
	"math"
)

// Task is one operation on one piece as it went.
type Task struct {
	From, Until   float64 // h
	Hands         int
	Opens, Closes float64 // its window, h
	None          bool    // there was nothing to do
}

// Late says how much later than its window's close it was done; at most zero: in time. An hour's billionth is in time.
func (t Task) Late() float64 {
	if late := t.Until - t.Closes; late > 1e-9 && !t.None {
		return late
	}
	return 0
}

// Arrival is one load as it went.
type Arrival struct{ Came, Begun, Ended float64 } // h

// Played is one day as it went. Slices are reused by the next day played on it.
type Played struct {
	Loads   []Arrival
	Brought []float64 // when each piece was all there
	Tasks   []Task    // by piece, then by operation
	Idle    float64   // h the bringers stood waiting for a load
	Worked  float64   // hand-hours at work
	End     float64   // when the last is done
	ops     int

	sums    []float64 // volume of the pieces up to each, it too
	next    []int     // operation each piece waits for
	ready   []float64
	running []job
	free    []int // of each tool
}

type job struct {
	until       float64
	hands, tool int
}

// Of is the task of an operation on a piece.
func (p *Played) Of(piece, op int) *Task { return &p.Tasks[piece*p.ops+op] }

// play lives through the day with one draw of luck.
func (d *Day) play(luck *luck, p *Played) {
	p.reset(d)
	d.bring(luck, p)
	for j := range d.Pieces {
		p.next[j] = -1
		d.advance(j, p.Brought[j], luck, p)
	}
	last := p.Brought[len(p.Brought)-1]
	idle := max(0, d.Hands-d.Bringer)
	now, all := math.Max(0, d.Real.Now), false
	for open := d.open(p); open > 0; {
		if !all && now >= last-1e-12 {
			all = true
			if !d.Apart {
				idle += min(d.Bringer, d.Hands)
			}
		}
		if j := d.choose(now, idle, p); j >= 0 {
			idle -= d.begin(j, now, idle, luck, p)
			if p.next[j] == len(d.Ops) {
				open--
			}
			continue
		}
		upto := math.Inf(1)
		if !all {
			upto = last
		}
		for j := range d.Pieces {
			if r := p.ready[j]; p.next[j] < len(d.Ops) && r > now && r < upto {
				upto = r
			}
		}
		for _, w := range p.running {
			upto = math.Min(upto, w.until)
		}
		if math.IsInf(upto, 1) {
			break
		}
		now = upto
		idle += d.release(now, p)
	}
}

func (p *Played) reset(d *Day) {
	n, m := len(d.Pieces), len(d.Ops)
	if len(p.Tasks) != n*m || len(p.Loads) != len(d.Loads) || len(p.Brought) != n {
		*p = Played{Loads: make([]Arrival, len(d.Loads)), Brought: make([]float64, n), Tasks: make([]Task, n*m), next: make([]int, n), ready: make([]float64, n), sums: make([]float64, n)}
	}
	sum := 0.0
	for j := range d.Pieces {
		sum += d.Pieces[j].Volume
		p.sums[j] = sum
	}
	p.ops, p.Idle, p.Worked, p.End = m, 0, 0, 0
	p.running, p.free = p.running[:0], append(p.free[:0], d.Tools...)
}

func known(list []float64, i int) (float64, bool) {
	if i < len(list) && !math.IsNaN(list[i]) {
		return list[i], true
	}
	return 0, false
}

// bring lets the loads come and be brought in, and notes when each piece is all there. Bringing goes before all other work.
func (d *Day) bring(luck *luck, p *Played) {
	rate := d.Rate * math.Min(1, float64(d.Hands)/float64(d.Bringer))
	there, came, free := 0.0, 0.0, math.Inf(-1)
	piece, wanted := d.settled(p)
	for i, l := range d.Loads {
		came = d.comes(i, came, luck)
		if at, ok := known(d.Real.Loads, i); ok {
			came = at
		}
		volume := l.Volume
		already := math.Max(0, math.Min(volume, wanted-there)) // of pieces that are known to be there
		a := Arrival{Came: came, Begun: came}
		if free+d.Swap > came && i > 0 {
			a.Begun = free + d.Swap
		}
		begin := a.Begun
		if already > 0 {
			begin = math.Max(begin, p.Brought[piece-1])
		}
		if volume > already {
			begin = math.Max(begin, d.Real.Now)
		}
		pace := rate * luck.bring[i]
		a.Ended = begin + (volume-already)/pace
		if i > 0 {
			p.Idle += math.Max(0, a.Came-free)
		}
		for ; piece < len(d.Pieces) && p.sums[piece] <= there+volume+1e-9*p.sums[piece]; piece++ {
			p.Brought[piece] = begin + math.Max(0, p.sums[piece]-there-already)/pace
		}
		there, free = there+volume, a.Ended
		p.Loads[i] = a
	}
	p.End = free
}

// settled takes over the pieces that are known to be there and how much that is.
func (d *Day) settled(p *Played) (piece int, volume float64) {
	for piece < len(d.Pieces) {
		at, ok := known(d.Real.Brought, piece)
		if !ok {
			break
		}
		p.Brought[piece] = at
		volume = p.sums[piece]
		piece++
	}
	return piece, volume
}

// comes is when a load that has not come yet does: a gap by luck after the one before, not before now.
func (d *Day) comes(i int, before float64, luck *luck) float64 {
	if i == 0 {
		return math.Max(d.Real.Now, d.Loads[0].Due+luck.late[0])
	}
	gap := (d.Loads[i].Due - d.Loads[i-1].Due) * luck.gap[i]
	return math.Max(d.Real.Now, before+gap+luck.late[i])
}

// advance moves a piece to its next operation that has something to do, ready when the one before is done and its window open.
func (d *Day) advance(j int, done float64, luck *luck, p *Played) {
	for p.next[j]++; p.next[j] < len(d.Ops); p.next[j]++ {
		k := p.next[j]
		w := d.Windows(k, p.Brought[j])
		t := p.Of(j, k)
		*t = Task{Opens: p.Brought[j] + luck.window*w.Opens, Closes: p.Brought[j] + luck.window*w.Closes}
		if at, ok := d.done(j, k); ok {
			t.From, t.Until = at, at
			done = math.Max(done, at)
			continue
		}
		if d.Pieces[j].Work[k] > 0 {
			p.ready[j] = math.Max(done, t.Opens)
			return
		}
		t.None, t.From, t.Until = true, done, done
	}
}

func (d *Day) done(j, k int) (float64, bool) {
	if j >= len(d.Real.Done) {
		return 0, false
	}
	return known(d.Real.Done[j], k)
}

func (d *Day) open(p *Played) int {
	n := 0
	for j := range d.Pieces {
		if p.next[j] < len(d.Ops) {
			n++
		}
	}
	return n
}

// choose takes, of the pieces that are ready and whose tool is free, the one whose window closes first; the first brought among
// equals; −1: none can begin.
func (d *Day) choose(now float64, idle int, p *Played) int {
	best := -1
	if idle <= 0 {
		return best
	}
	for j := range d.Pieces {
		k := p.next[j]
		if k >= len(d.Ops) || p.ready[j] > now+1e-12 {
			continue
		}
		if tool := d.Ops[k].Tool; tool >= 0 && p.free[tool] == 0 {
			continue
		}
		if best < 0 || p.Of(j, k).Closes < p.Of(best, p.next[best]).Closes {
			best = j
		}
	}
	return best
}

// begin sets hands to work on a piece and says how many.
func (d *Day) begin(j int, now float64, idle int, luck *luck, p *Played) int {
	k := p.next[j]
	op, t := d.Ops[k], p.Of(j, k)
	t.Hands = min(op.Most, idle)
	t.From = now
	t.Until = now + d.Pieces[j].Work[k]/(op.Rate*float64(t.Hands))*luck.work[j*len(d.Ops)+k]
	if op.Tool >= 0 {
		p.free[op.Tool]--
	}
	p.running = append(p.running, job{t.Until, t.Hands, op.Tool})
	p.Worked += float64(t.Hands) * (t.Until - t.From)
	p.End = math.Max(p.End, t.Until)
	d.advance(j, t.Until, luck, p)
	return t.Hands
}

// release lets hands and tools go that are done by now.
func (d *Day) release(now float64, p *Played) int {
	freed, kept := 0, p.running[:0]
	for _, w := range p.running {
		if w.until > now+1e-12 {
			kept = append(kept, w)
			continue
		}
		freed += w.hands
		if w.tool >= 0 {
			p.free[w.tool]++
		}
	}
	p.running = kept
	return freed
}
