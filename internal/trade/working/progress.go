package working

import "context"

type progressKey struct{}

// WithProgress is a context in which Tell reaches tell, with the share of a long work that is done, 0 to 1. tell is called from
// several goroutines.
func WithProgress(ctx context.Context, tell func(share float64)) context.Context {
	return context.WithValue(ctx, progressKey{}, tell)
}

// Tell says how much of a long work is done, to whoever asked to be told.
func Tell(ctx context.Context, share float64) {
	if tell, ok := ctx.Value(progressKey{}).(func(float64)); ok {
		tell(share)
	}
}
