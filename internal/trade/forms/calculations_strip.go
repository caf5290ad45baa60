package forms

import (
	"errors"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

// practiceCalculations offers what the trade does with forms once they stand.
func practiceCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("forms.strip_time", "when edge forms may come off, by temperature", string(sources.CommonPractice), stripTime),
		calc.New("forms.release_oil", "form oil for a length of forms", string(sources.CommonPractice), releaseOil),
		calc.New("forms.stake_moment", "moment about the ground that a stake takes", string(sources.FormPressure), stakeMoment),
		calc.New("forms.screed_strips", "placing strips between screed rails", string(sources.CommonPractice), screedStrips),
	}
}

// stripTime: 12 to 24 h from 50 °F up, 24 to 48 h from 40 °F; colder, by strength only: about 500 psi.
func stripTime(in struct {
	Temp quantity.Temp `says:"mean of the air"`
}) (out struct {
	Earliest quantity.Time
	Latest   quantity.Time   `says:"by then they are usually off"`
	Strength quantity.Stress `says:"where it is known, this will do"`
}, err error) {
	f := quantity.In(in.Temp, "°F")
	out.Earliest, out.Latest, out.Strength = quantity.Hours(12), quantity.Hours(24), quantity.PSI(500)
	switch {
	case f > 130:
		return out, errors.New("no air is that hot")
	case f < 40-1e-9:
		return out, errors.New("below 40 °F strip by strength, not by the clock")
	case f < 50-1e-9:
		out.Earliest, out.Latest = quantity.Hours(24), quantity.Hours(48)
	}
	return out, nil
}

func releaseOil(in struct {
	Length   quantity.Length `says:"of forms"`
	Height   quantity.Length
	Coverage float64 `unit:"ft2/gal" says:"300 to 500" default:"400"`
}) (out struct {
	Area quantity.Area
	Oil  quantity.Volume
}, err error) {
	if !(in.Length > 0 && in.Height > 0 && in.Coverage > 0) {
		return out, errors.New("lengths and coverage are above zero")
	}
	out.Area = quantity.Area(in.Length.Metres() * in.Height.Metres())
	out.Oil = quantity.Of[quantity.Volume](quantity.In(out.Area, "ft2")/in.Coverage, "gal")
	return out, nil
}

// stakeMoment: M = (γh²/2)·s·h/3, a stake every s held by the ground alone.
func stakeMoment(in struct {
	Height   quantity.Length  `says:"concrete against the form"`
	Spacing  quantity.Length  `says:"stakes apart"`
	Concrete quantity.Density `says:"unit weight of fresh concrete" default:"2402.77"`
}) (out struct {
	Force  quantity.Force `says:"on one stake, a third of the height up"`
	Moment quantity.Moment
}, err error) {
	load, _, err := HeadLoad(in.Height, in.Concrete)
	if err != nil {
		return out, err
	}
	if in.Spacing <= 0 {
		return out, errors.New("stakes are more than zero apart")
	}
	out.Force = quantity.Force(float64(load) * in.Spacing.Metres())
	out.Moment = quantity.Moment(float64(out.Force) * in.Height.Metres() / 3)
	return out, nil
}

// screedStrips: rails stand no farther apart than the straightedge less a foot.
func screedStrips(in struct {
	Width        quantity.Length `says:"of the pour across the strips"`
	Straightedge quantity.Length
	Grip         quantity.Length `says:"straightedge beyond the rails, in all" default:"0.3048"`
}) (out struct {
	Strips int
	Strip  quantity.Length `says:"width of one"`
	Rails  int             `says:"inner rails"`
}, err error) {
	if out.Strips, out.Strip, err = ScreedStrips(in.Width, in.Straightedge, in.Grip); err != nil {
		return out, err
	}
	out.Rails = out.Strips - 1
	return out, nil
}
