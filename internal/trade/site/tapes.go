package site

import "slabwright/internal/trade/check"

func (in Input) tapeFaults([]string) check.Faults { return nil }
func (r *Result) adjust(Input) check.Faults       { return nil }
