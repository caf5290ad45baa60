package order

import (
	"testing"

	"slabwright/internal/engines/calc/calctest"
)

func TestCheckRows(t *testing.T) { calctest.Rows(t, Calculations(), Checks()) }
