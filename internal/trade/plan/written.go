package plan

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"

	"slabwright/internal/engines/exact"
)

func keyText(key [32]byte) string { return hex.EncodeToString(key[:]) }

// Key is the hash of the named stages' inputs in the plan: equal keys, equal answers. Empty where one of them cannot be asked yet.
func (p Plan) Key(names ...string) string {
	var all []byte
	for _, name := range names {
		r, ok := p.Of(name)
		if !ok || r.key == [32]byte{} {
			return ""
		}
		all = append(all, r.key[:]...)
	}
	if len(names) == 1 {
		return hex.EncodeToString(all)
	}
	return keyText(sha256.Sum256(all))
}

// RankingKey is the hash of all that the ranking of guesses (Rank) depends on; empty where a stage it needs cannot be asked yet.
func (p Plan) RankingKey() string { return p.Key(moved()...) }

// Write is a stage's result as a Memory keeps it, under Key of the stage.
func (r Report) Write() ([]byte, error) {
	if !r.Answered() || r.write == nil {
		return nil, fmt.Errorf("plan: %s has no answer to write", r.Name)
	}
	return r.write()
}

// WriteMovers is a ranking as a Memory keeps it, under RankingKey.
func WriteMovers(movers []Mover) ([]byte, error) { return exact.Write(movers) }

// ReadMovers makes a written ranking the plan's own, and gives it.
func (p Plan) ReadMovers(written []byte) ([]Mover, error) {
	var movers []Mover
	if err := exact.Read(written, &movers); err != nil {
		return nil, err
	}
	now := p.outcome()
	for i := range movers {
		movers[i].now = now
	}
	p.ranking.lock.Lock()
	defer p.ranking.lock.Unlock()
	p.ranking.movers, p.ranking.done = movers, true
	return movers, nil
}
