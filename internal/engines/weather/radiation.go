package weather

import "math"

// StefanBoltzmann is σ, W/m²K⁴.
const StefanBoltzmann = 5.670374419e-8

// ClearSky is the sun's irradiance on level ground under a clear sky, from the sun's apparent zenith.
//
//	G0 = 1098 cos z exp(−0.059/cos z)
//
// Zero with the sun below the horizon. Source: Haurwitz (1945); the coefficient also circulates as 0.057, 0.2–0.4 % more up
// to 60°. Checked: CUR-19.
func ClearSky(zenith float64) float64 {
	c := math.Cos(zenith)
	if c <= 0 || zenith >= math.Pi/2 {
		return 0
	}
	return 1098 * c * math.Exp(-0.059/c)
}

// CloudFactor is the share of clear-sky irradiance that comes through a cloud cover n, 0–1.
//
//	G/G0 = 1 − 0.75 N^3.4
//
// Source: Kasten and Czeplak (1980), recalled. Checked: CUR-20.
func CloudFactor(n float64) float64 {
	return 1 - 0.75*math.Pow(math.Min(1, math.Max(0, n)), 3.4)
}

// SkyEmissivity is the emissivity of the sky, as seen from the ground, for a dew point in °C and cloud cover 0–1.
//
//	εc = 0.711 + 0.56 (Td/100) + 0.73 (Td/100)²      ε = εc(1 − 0.84N) + 0.84N
//
// Source: Berdahl and Martin (1984); Unsworth and Monteith (1975); recalled. Checked: CUR-21.
func SkyEmissivity(dew, cloud float64) float64 {
	n, d := 0.84*math.Min(1, math.Max(0, cloud)), dew/100
	return (0.711+0.56*d+0.73*d*d)*(1-n) + n
}

// SkyRadiation is the long-wave radiation coming down, from air temperature, dew point and cloud cover.
//
//	L↓ = ε σ Ta⁴
//
// Checked: CUR-21.
func SkyRadiation(air, dew, cloud float64) float64 {
	square := (air + Kelvin) * (air + Kelvin)
	return SkyEmissivity(dew, cloud) * StefanBoltzmann * square * square
}

// Convection is the heat transfer of wind over a level surface, W/m²K.
//
//	h = 5.6 + 4.0 V  (V ≤ 5 m/s)      h = 7.2 V^0.78  (V > 5 m/s)
//
// The branches differ by 0.3 at 5 m/s. Source: NISTIR 6551, recalled. Checked: CUR-22.
func Convection(wind float64) float64 {
	if wind <= 5 {
		return 5.6 + 4*math.Max(0, wind)
	}
	return 7.2 * math.Pow(wind, 0.78)
}
