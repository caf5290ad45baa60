package joints

import (
	"testing"

	"slabwright/internal/engines/calc/calctest"
)

func TestCheckRows(t *testing.T) { calctest.Rows(t, Calculations(), Checks(), "BLD-06a") }
