package quantity

import (
	"regexp"
	"unicode"
	"unicode/utf8"
)

// moneyIn finds a shown amount of money: the sign that String writes, with the number's first sign or digit.
var moneyIn = regexp.MustCompile(`\$(-?\d)`)

// InCurrency writes the money in a shown value or sentence with the shop's own sign: "costs $8,885" for "€" is "costs €8,885".
// Amounts are not converted. A sign that ends in a letter is parted from the number by a no-break space: "CHF 8,885".
func InCurrency(text, sign string) string {
	if sign == "" || sign == "$" {
		return text
	}
	return moneyIn.ReplaceAllStringFunc(text, func(found string) string { return joined(sign) + found[1:] })
}

// CurrencyUnit is the unit of an amount of money in the shop's currency: "$/yd3" for "€" is "€/yd3". Other units stay.
func CurrencyUnit(unit, sign string) string {
	if sign == "" || len(unit) == 0 || unit[0] != '$' {
		return unit
	}
	return sign + unit[1:]
}

func joined(sign string) string {
	if last, _ := utf8.DecodeLastRuneInString(sign); unicode.IsLetter(last) {
		return sign + "\u00a0"
	}
	return sign
}
