package quantity

import (
	"fmt"
	"slices"
	"strings"
)

// readBack is what the page shows under a box: the value in the box's unit, then as typed if that was another unit, then
// in the usual unit of the other system: "9,480 lb  (4.3 t, 4,300 kg)".
func readBack(a amount, home Unit, box Box) string {
	row := rowFor(home, box)
	parts := []string{shownIn(a, home, row)}
	for _, u := range []Unit{a.unit, otherSystem(row, home, box)} {
		if text := shownIn(a, u, row); !slices.Contains(parts, text) {
			parts = append(parts, text)
		}
	}
	return gathered(parts)
}

func gathered(parts []string) string {
	if len(parts) == 1 {
		return parts[0]
	}
	return fmt.Sprintf("%s  (%s)", parts[0], strings.Join(parts[1:], ", "))
}

// shownIn writes the amount in unit u: as typed where u is the typed unit, else as fine as its kind is shown.
func shownIn(a amount, u Unit, row kindRow) string {
	if u.Symbol == a.unit.Symbol {
		return a.shown()
	}
	value := u.From(a.si())
	for _, st := range []style{row.us, row.si} {
		if st.unit == u.Symbol {
			return withUnit(Decimal(value, st.decimals, st.step), u.Symbol)
		}
	}
	return withUnit(significant(value, 4), u.Symbol)
}

// rowFor finds how values in this box are shown: its own kind, or the first kind of the dimension that uses its unit.
func rowFor(home Unit, box Box) kindRow {
	if row, ok := kindIndex[box.Kind]; ok && row.dim == home.Dim {
		return row
	}
	usualRow := kindIndex[UsualKind(home.Dim)]
	if usualRow.us.unit == home.Symbol || usualRow.si.unit == home.Symbol {
		return usualRow
	}
	for _, row := range kindRows {
		if row.dim == home.Dim && (row.us.unit == home.Symbol || row.si.unit == home.Symbol) {
			return row
		}
	}
	return usualRow
}

// otherSystem is the unit in which somebody of the other system would read the value.
func otherSystem(row kindRow, home Unit, box Box) Unit {
	symbol := row.si.unit
	if box.System == Metric || symbol == home.Symbol {
		symbol = row.us.unit
	}
	u, err := UnitOf(home.Dim, symbol)
	if err != nil {
		return home
	}
	return u
}
