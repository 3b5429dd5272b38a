"""A small job of plain numbers that tests spoil in one place at a time."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

JOB = """\
[job]
name = "Small bay"
place = "Nowhere"
date = 2026-01-05
units = "feet-inches"
made_up = true

[survey]
rod = "feet-inches"
resolution = "1/16 in"

[[survey.benchmark]]
name = "BM1"
height = "100 ft"
where = "Nail"

[floor]
outline = [["0 ft", "0 ft"], ["20 ft", "0 ft"], ["20 ft", "10 ft"], ["0 ft", "10 ft"]]

[[door]]
name = "door"
ends = [["5 ft", "0 ft"], ["15 ft", "0 ft"]]
sill = "shot S1"
may_rise = "1/4 in"
may_drop = "1/2 in"
lets_water_out_today = true

[wishes]
water_to = ["door"]
least_thickness = "3 in"
least_fall = "1/8 in/ft"
greatest_fall = "1/2 in/ft"
straightedge = "12 ft"
set_to = "1/8 in"
"""

SHOTS = """\
point,x,y,setup,reading,kind,note
BM1,,,1,4' 0",benchmark,
S1,10 ft,0 ft,1,4' 0",sill,
F1,1 ft,1 ft,1,4' 4",floor,
F2,19 ft,1 ft,1,4' 4 1/4",floor,
F3,1 ft,9 ft,1,4' 4 1/2",floor,
F4,19 ft,9 ft,1,4' 4 3/4",floor,
"""

RATES = """\
currency = "$"
price_date = 2026-01-05

[concrete]
price_per_yd3 = "$270"

[truck]
full_load = "10 yd3"
least_load = "4 yd3"
short_load_charge = "$150"
order_step = "0.5 yd3"

[risk]
running_short = "$700"
leftover_per_yd3 = "$40"
"""

TEXTS = {"job.toml": JOB, "shots.csv": SHOTS, "rates.toml": RATES}
PutDown = Callable[..., Path]
