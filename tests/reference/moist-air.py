"""Writes tests/reference/moist-air.csv: moist air over a grid, reckoned by two independent libraries.

How it was made, with Python 3 in a virtual environment:
    pip install psychrolib==2.5.0 metpy==1.7.1
    python tests/reference/moist-air.py > tests/reference/moist-air.csv
psychrolib follows the ASHRAE Handbook of Fundamentals (2017); MetPy follows the WMO guide.
Pressures are Pa in the libraries and kPa in the table; wet bulb at 101325 Pa.
"""
import metpy.calc as mp
import psychrolib as ps
from metpy.units import units

ps.SetUnitSystem(ps.SI)
print("celsius,humidity,saturation_ashrae_kpa,saturation_metpy_kpa,dew_ashrae_c,dew_metpy_c,wet_ashrae_c,wet_psychrometric_humidity_metpy")
for t in range(0, 46, 3):
    for rh in (10, 20, 30, 40, 50, 60, 70, 80, 90, 98):
        wet = ps.GetTWetBulbFromRelHum(t, rh / 100, 101325)
        humidity_back = mp.relative_humidity_wet_psychrometric(
            1013.25 * units.hPa, t * units.degC, wet * units.degC).to("percent").magnitude
        row = (
            ps.GetSatVapPres(t) / 1000,
            mp.saturation_vapor_pressure(t * units.degC).to("kPa").magnitude,
            ps.GetTDewPointFromRelHum(t, rh / 100),
            mp.dewpoint_from_relative_humidity(t * units.degC, rh * units.percent).to("degC").magnitude,
            wet,
            humidity_back,
        )
        print(f"{t},{rh}," + ",".join(f"{float(x):.5f}" for x in row))
