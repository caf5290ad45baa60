package price

import (
	_ "embed"
	"errors"
	"math"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/doubt"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

//go:embed testdata/checks.csv
var checksCSV string

// Checks is the stage's table of check rows.
func Checks() string { return checksCSV }

var errShares = errors.New("give three lists of equal length, each low ≤ likely ≤ high")

// Calculations offers the stage's formulas by name.
func Calculations() []calc.Calculation {
	return append(lineCalculations(),

		calc.New("price.by_margin", "price that leaves a margin of itself as profit", string(sources.MarginText),
			func(in struct {
				Cost   quantity.Money   `says:"cost to the shop"`
				Margin quantity.Percent `says:"profit over price, below 100 %"`
			}) (out struct {
				Price  quantity.Money
				Markup quantity.Percent `says:"the same profit over cost"`
			}, err error) {
				if in.Margin < 0 || in.Margin >= 1 {
					return out, errors.New("margin is profit over price, from 0 up to below 100 %")
				}
				out.Price = priceByMargin(in.Cost, in.Margin)
				out.Markup = in.Margin / (1 - in.Margin)
				return out, nil
			}),
		calc.New("price.by_markup", "price from a mark-up on cost", string(sources.MarginText),
			func(in struct {
				Cost   quantity.Money   `range:">= 0"`
				Markup quantity.Percent `says:"profit over cost" range:">= 0"`
			}) (out struct {
				Price  quantity.Money
				Margin quantity.Percent `says:"the same profit over price"`
			}, err error) {
				if in.Markup < 0 {
					return out, errors.New("a mark-up is zero or more")
				}
				out.Price = in.Cost * quantity.Money(1+in.Markup)
				out.Margin = in.Markup / (1 + in.Markup)
				return out, nil
			}),
		calc.New("price.build_up", "direct cost to price: contingency and overhead on direct cost, then profit by margin", string(sources.MarginText),
			func(in struct {
				Direct      quantity.Money
				Contingency quantity.Percent `default:"0"`
				Overhead    quantity.Percent
				Margin      quantity.Percent
				RoundUpTo   quantity.Money `default:"0"`
			}) (out struct {
				Cost         quantity.Money
				Price        quantity.Money
				DirectMarkup quantity.Percent `says:"price over direct cost, less one"`
			}, err error) {
				if in.Margin < 0 || in.Margin >= 1 || in.Direct <= 0 {
					return out, errors.New("direct cost is above zero and margin from 0 up to below 100 %")
				}
				out.Cost = in.Direct * quantity.Money(1+in.Contingency+in.Overhead)
				out.Price = roundUp(priceByMargin(out.Cost, in.Margin), in.RoundUpTo)
				out.DirectMarkup = quantity.Percent(out.Price/in.Direct - 1)
				return out, nil
			}),
		calc.New("price.three_point_sum", "mean, spread and quantiles of a sum of independent three-point items", string(sources.ThreePoint),
			func(in struct {
				Low    []float64 `unit:"$"`
				Likely []float64 `unit:"$"`
				High   []float64 `unit:"$"`
				Form   string    `says:"pert or triangular" default:"pert"`
			}) (out struct {
				Mean      quantity.Money
				Deviation quantity.Money
				P80       quantity.Money `says:"covers eight jobs in ten"`
				P90       quantity.Money `says:"covers nine jobs in ten"`
			}, err error) {
				mean, variance, err := sumOfThreePoints(in.Low, in.Likely, in.High, in.Form)
				if err != nil {
					return out, err
				}
				s := math.Sqrt(variance)
				out.Mean, out.Deviation = quantity.Money(mean), quantity.Money(s)
				out.P80, out.P90 = quantity.Money(mean+doubt.EightInTen*s), quantity.Money(mean+doubt.NineInTen*s)
				return out, nil
			}),
		calc.New("price.hours", "hours of one person for an amount at a rate", string(sources.Arithmetic),
			func(in struct {
				Area quantity.Area
				Rate quantity.AreaRate `says:"what one person does"`
			}) (out struct{ Hours quantity.Time }, err error) {
				if in.Rate <= 0 {
					return out, errors.New("a rate of zero never finishes")
				}
				out.Hours = quantity.Time(float64(in.Area) / float64(in.Rate))
				return out, nil
			}),
	)
}

// sumOfThreePoints adds means and variances. PERT as threePoint; triangular: mean (a + m + b)/3, variance
// (a² + m² + b² − am − ab − mb)/18. Source: network-planning texts. Checked: BLD-37, BLD-38.
func sumOfThreePoints(low, likely, high []float64, form string) (mean, variance float64, err error) {
	if len(low) != len(likely) || len(high) != len(likely) || len(likely) == 0 {
		return 0, 0, errShares
	}
	for i, m := range likely {
		a, b := low[i], high[i]
		if a > m || m > b {
			return 0, 0, errShares
		}
		mi, vi := threePoint(a, m, b)
		switch form {
		case "pert":
		case "triangular":
			mi, vi = (a+m+b)/3, (a*a+m*m+b*b-a*m-a*b-m*b)/18
		default:
			return 0, 0, errors.New("form is pert or triangular")
		}
		mean, variance = mean+mi, variance+vi
	}
	return mean, variance, nil
}
