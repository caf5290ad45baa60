// Package spoken reads the words of the trade: concrete by strength, class or sacks, bars by number and spacing, stone by
// size or size number, slump. Each type reads what people type and can be held in a known.Known.
package spoken
