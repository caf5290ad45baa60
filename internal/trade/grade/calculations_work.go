package grade

import (
	"errors"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

// workCalculations offers how fast ground is moved and compacted.
func workCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("grade.plate_rate", "area a plate or roller compacts in an hour", string(sources.CommonPractice), plateRate),
		calc.New("grade.bucket_rate", "loose soil a bucket machine moves in an hour", string(sources.CommonPractice), bucketRate),
	}
}

// plateWork is a plate at work.
type plateWork = struct {
	Width      quantity.Length
	Overlap    quantity.Length `default:"0"`
	Speed      quantity.Speed
	Passes     int
	Efficiency quantity.Ratio `says:"0.75 to 0.83" default:"0.75"`
}

// plateRate: (width − overlap) × speed × efficiency / passes.
func plateRate(in plateWork) (out struct{ Rate quantity.AreaRate }, err error) {
	if !(in.Width > in.Overlap && in.Overlap >= 0 && in.Speed > 0 && in.Passes > 0 && in.Efficiency > 0 && in.Efficiency <= 1) {
		return out, errors.New("the width is more than the overlap, speed and passes above zero, efficiency 0 to 1")
	}
	out.Rate = quantity.AreaRate((in.Width - in.Overlap).Metres() * float64(in.Speed) * float64(in.Efficiency) / float64(in.Passes))
	return out, nil
}

// bucketRate: bucket × fill / cycle × efficiency.
func bucketRate(in struct {
	Bucket     quantity.Volume
	Fill       quantity.Ratio `says:"share of the bucket that is full" default:"1"`
	Cycle      quantity.Time
	Efficiency quantity.Ratio `says:"0.75 to 0.83" default:"0.75"`
}) (out struct{ Rate quantity.VolumeRate }, err error) {
	if !(in.Bucket > 0 && in.Fill > 0 && in.Fill <= 1.5 && in.Cycle > 0 && in.Efficiency > 0 && in.Efficiency <= 1) {
		return out, errors.New("bucket, fill and cycle are above zero, efficiency 0 to 1")
	}
	out.Rate = quantity.VolumeRate(in.Bucket.CubicMetres() * float64(in.Fill) / in.Cycle.Seconds() * float64(in.Efficiency))
	return out, nil
}
