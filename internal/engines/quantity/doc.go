// Package quantity gives numbers their units: typed quantities for the borders of packages, one table of units, one
// parser for what people type and one formatter for what they read.
//
// Inside every type the number is SI (metres, newtons, pascals, degrees Celsius, seconds). Engines use the bare float64
// (`.Metres()`); trade packages pass the typed value, so that a length cannot be given where a stress is wanted.
package quantity
