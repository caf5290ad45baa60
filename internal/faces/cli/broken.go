package cli

import "strings"

// broken breaks text into lines that fit a terminal of the given width under an indent; one line where there is none.
func broken(text string, indent, width int) string {
	if width <= indent+20 {
		return text
	}
	var b strings.Builder
	column := indent
	for i, word := range strings.Fields(text) {
		letters := len([]rune(word))
		switch {
		case i == 0:
		case column+1+letters > width:
			b.WriteString("\n" + strings.Repeat(" ", indent))
			column = indent
		default:
			b.WriteByte(' ')
			column++
		}
		b.WriteString(word)
		column += letters
	}
	return b.String()
}
