"""Writes tests/reference/sun.csv: sunrise and sunset over days and latitudes, by an independent library.

How it was made, with Python 3 in a virtual environment:
    pip install astral==3.2
    python tests/reference/sun.py > tests/reference/sun.csv
Hours of universal time after midnight of the day, not cut to one day; longitude 0.
"""
import datetime

from astral import Observer
from astral.sun import sunrise, sunset

print("date,latitude,rise_utc_h,set_utc_h")
for latitude in (-45, -20, 0, 25, 36, 45, 55):
    for month in range(1, 13):
        day = datetime.date(2026, month, 15)
        midnight = datetime.datetime(2026, month, 15, tzinfo=datetime.timezone.utc)
        spot = Observer(latitude=latitude, longitude=0)
        rise, down = ((f(spot, day) - midnight).total_seconds() / 3600 for f in (sunrise, sunset))
        print(f"{day},{latitude},{rise:.4f},{down:.4f}")
