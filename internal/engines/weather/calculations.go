package weather

import (
	"errors"
	"fmt"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
)

// surface is what every evaporation form asks for.
type surface struct {
	ConcreteTemp quantity.Temp  `says:"temperature of the wet surface"`
	AirTemp      quantity.Temp  `says:"air temperature"`
	Humidity     quantity.Ratio `says:"relative humidity, 0 to 1"`
	Wind         quantity.Speed `says:"wind half a metre above the surface"`
}

type lost struct {
	Evaporation quantity.Evaporation `says:"water lost; negative is condensation"`
}

func evaporation(name, says, source string, form func(surface, air, humidity, wind float64) float64) calc.Calculation {
	return calc.New(name, says, source, func(in surface) (lost, error) {
		if err := errors.Join(outdoors(in.ConcreteTemp, in.AirTemp), share("humidity", in.Humidity), blowing(in.Wind)); err != nil {
			return lost{}, err
		}
		e := form(in.ConcreteTemp.Celsius(), in.AirTemp.Celsius(), float64(in.Humidity), float64(in.Wind))
		return lost{quantity.Evaporation(e)}, nil
	})
}

// outdoors refuses air temperatures that no place on earth has; the formulas bend far off there.
func outdoors(temps ...quantity.Temp) error {
	for _, t := range temps {
		if !(t >= -60 && t <= 100) {
			return fmt.Errorf("%.4g °C is no temperature out of doors; -60 to 100 °C", t.Celsius())
		}
	}
	return nil
}

// share refuses a humidity or a cloud cover that is none.
func share(what string, v quantity.Ratio) error {
	if !(v >= 0 && v <= 1) {
		return fmt.Errorf("%s is 0 to 1; write 50 %% for half", what)
	}
	return nil
}

func blowing(wind quantity.Speed) error {
	if !(wind >= 0 && wind <= 100) {
		return errors.New("wind is 0 to 100 m/s")
	}
	return nil
}

// Calculations lists the formulas of this package.
func Calculations() []calc.Calculation {
	return append(moisture(), append(radiation(),
		evaporation("weather.evaporation_uno", "water lost from a wet surface, SI form", "uno-1998", EvaporationUno),
		evaporation("weather.evaporation_uno_us", "water lost from a wet surface, US form", "uno-1998", EvaporationUnoUS),
		evaporation("weather.evaporation_menzel", "water lost from a wet surface, chart equation in SI", "menzel-1954", EvaporationMenzel),
		evaporation("weather.evaporation_menzel_us", "water lost from a wet surface, chart equation in US units", "menzel-1954", EvaporationMenzelUS),
	)...)
}

func moisture() []calc.Calculation {
	return []calc.Calculation{
		calc.New("weather.vapour_pressure", "pressure of saturated water vapour", "wmo-8", func(in struct {
			AirTemp quantity.Temp `says:"air temperature"`
		}) (out struct {
			VapourPressure quantity.Stress
		}, err error) {
			out.VapourPressure = quantity.Stress(VapourPressure(in.AirTemp.Celsius()))
			return out, outdoors(in.AirTemp)
		}),
		calc.New("weather.dew_point", "temperature at which the air is full of vapour", "wmo-8", func(in struct {
			AirTemp  quantity.Temp  `says:"air temperature"`
			Humidity quantity.Ratio `says:"relative humidity, 0 to 1"`
		}) (out struct {
			DewPoint quantity.Temp
		}, err error) {
			if in.Humidity == 0 {
				return out, errors.New("dry air has no dew point")
			}
			if err := errors.Join(outdoors(in.AirTemp), share("humidity", in.Humidity)); err != nil {
				return out, err
			}
			out.DewPoint = quantity.Temp(DewPoint(in.AirTemp.Celsius(), float64(in.Humidity)))
			return out, nil
		}),
		calc.New("weather.humidity", "relative humidity from air and dew point", "wmo-8", func(in struct {
			AirTemp  quantity.Temp `says:"air temperature"`
			DewPoint quantity.Temp `says:"dew point"`
		}) (out struct {
			Humidity quantity.Ratio `says:"0 to 1"`
		}, err error) {
			if in.DewPoint > in.AirTemp+0.5 {
				return out, errors.New("a dew point is not above the air temperature")
			}
			out.Humidity = quantity.Ratio(Humidity(in.AirTemp.Celsius(), in.DewPoint.Celsius()))
			return out, outdoors(in.AirTemp, in.DewPoint)
		}),
		calc.New("weather.wet_bulb", "temperature of a wetted thermometer", "stull-2011", func(in struct {
			AirTemp  quantity.Temp  `says:"air temperature"`
			Humidity quantity.Ratio `says:"relative humidity, 0 to 1"`
		}) (out struct {
			WetBulb quantity.Temp
		}, err error) {
			if !(in.Humidity >= 0.05 && in.Humidity <= 0.99 && in.AirTemp >= -20 && in.AirTemp <= 50) {
				return out, errors.New("the formula holds for humidity 0.05 to 0.99 (5 to 99 %) and air of -20 to 50 °C")
			}
			out.WetBulb = quantity.Temp(WetBulb(in.AirTemp.Celsius(), float64(in.Humidity)))
			return out, nil
		}),
		calc.New("weather.wind_factor", "wind at one height as a share of wind at another", "log-wind-law", func(in struct {
			From      quantity.Length `says:"height of the known wind"`
			To        quantity.Length `says:"height of the wanted wind"`
			Roughness quantity.Length `says:"roughness length of the ground" default:"0.03"`
		}) (out struct {
			Factor quantity.Ratio
		}, err error) {
			if !(in.Roughness > 0 && in.From > in.Roughness && in.To > in.Roughness) {
				return out, errors.New("both heights are above the roughness length, which is above zero")
			}
			out.Factor = quantity.Ratio(WindFactor(in.From.Metres(), in.To.Metres(), in.Roughness.Metres()))
			return out, nil
		}),
	}
}

func radiation() []calc.Calculation {
	return []calc.Calculation{
		calc.New("weather.clear_sky", "sunshine on level ground under a clear sky", "haurwitz-1945", func(in struct {
			Zenith quantity.Angle `says:"the sun's angle from the vertical" range:"0..3.1416"`
		}) (out struct {
			Irradiance float64 `unit:"W/m2"`
		}, err error) {
			out.Irradiance = ClearSky(float64(in.Zenith))
			return out, nil
		}),
		calc.New("weather.cloud_factor", "share of sunshine that comes through cloud", "kasten-czeplak-1980", func(in struct {
			Cloud quantity.Ratio `says:"share of the sky under cloud, 0 to 1"`
		}) (out struct {
			Factor quantity.Ratio
		}, err error) {
			out.Factor = quantity.Ratio(CloudFactor(float64(in.Cloud)))
			return out, share("cloud", in.Cloud)
		}),
		calc.New("weather.sky_radiation", "long-wave radiation from the sky", "berdahl-martin-1984", func(in struct {
			AirTemp  quantity.Temp  `says:"air temperature"`
			DewPoint quantity.Temp  `says:"dew point"`
			Cloud    quantity.Ratio `says:"share of the sky under cloud, 0 to 1" default:"0.5"`
		}) (out struct {
			Emissivity quantity.Ratio
			Radiation  float64 `unit:"W/m2"`
		}, err error) {
			out.Emissivity = quantity.Ratio(SkyEmissivity(in.DewPoint.Celsius(), float64(in.Cloud)))
			out.Radiation = SkyRadiation(in.AirTemp.Celsius(), in.DewPoint.Celsius(), float64(in.Cloud))
			return out, errors.Join(outdoors(in.AirTemp, in.DewPoint), share("cloud", in.Cloud))
		}),
		calc.New("weather.convection", "heat carried off a level surface by wind, per degree", "nistir-6551", func(in struct {
			Wind quantity.Speed `says:"wind over the surface"`
		}) (out struct {
			Coefficient float64 `unit:"W/m2/K"`
		}, err error) {
			out.Coefficient = Convection(float64(in.Wind))
			return out, blowing(in.Wind)
		}),
	}
}
