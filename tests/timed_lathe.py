"""A lathe with round rates, so that times can be worked out by hand.

Both axes: 200 mm/s, 1000 mm/s^2. So a rapid of 40 mm or more takes a 200th of its mm and .2 s, in seconds, and a
shorter one twice the root of a 1000th of them: 10 mm .2 s, 40 mm .4 s, 100 mm .7 s. The slide of X goes half as far as
the X words say. Settling adds .1 s to each block that moves in rapid.

Home is machine X0. Z0., the index position X-100. Z-100., work X0. Z0. is machine X-300. Z-405. with every tool.
An index takes .5 s and .2 s a station, the shorter way round of 8.
"""

from __future__ import annotations

AXES = """
[axes.X]
home = 0.0
rapid = 12000
acceleration = 1000

[axes.Z]
home = 0.0
rapid = 12000
acceleration = 1000
"""
INDEX = """
[index_position]
X = -100.0
Z = -100.0
"""
TURRET = """
[turret]
stations = 8
index_fixed = 0.5
index_per_station = 0.2
both_ways = true
index_while_moving = false
"""
BATCH = """
[batch]
parts = 100
"""
OFFSETS = """
[work_offsets.G54]
X = -300.0
Z = -405.0
""" + "".join(
    f"""
[[tools]]
station = {station}
offset = {offset}
X = 0.0
Z = 0.0
wear_X = 0.0
wear_Z = 0.0
kind = "{kind}"
"""
    for station, offset, kind in ((1, 1, "turning"), (1, 11, "facing"), (3, 3, "boring"), (4, 4, "bar stop"))
)
MACHINE = """
[machine]
name = "Lathe 0"
code_system = "A"
unit = "mm"
x_words = "diameter"
plain_numbers = "unit"
common_shift = { X = 0.0, Z = 0.0 }
rapid_path = "dogleg"
settle = 0.1

[spindle]
max_speed = 5000
"""
LATHE = MACHINE + AXES + INDEX + TURRET + OFFSETS
WITH_BATCH = LATHE + BATCH

TWO_TOOLS = """\
G21 G97 G99
T0101
G54
G0 X40. Z5. S1000 M3
G0 X20.
G1 Z-35. F.2
G0 X40.
G0 Z5.
G0 X20.
G1 Z-35.
G0 X40.
G53 G0 X0.
G53 G0 Z0.
T0303
G0 X40. Z5.
G1 X0. F.1
G4 X1.5
G53 G0 X0.
G53 G0 Z0.
M30
"""
"""
T0101   cut      twice 40 mm at .2 mm and 1000 rev/min: 24 s
        rapid    X40. .2 + .1, Z5. over 40 mm .4 + .1, X20. .2 + .1: 1.1 s
        retract  X40. .3, X home over 130 mm .85 + .1, Z home over 440 mm 2.4 + .1,
                 back X over 130 mm .85 and Z over 400 mm 2.2, the longer one + .1: 6.05 s
        index    from station 3, two stations: .5 + .4 = .9 s
T0303   cut      20 mm at .1 mm and 1000 rev/min: 12 s
        retract  X home over 150 mm .95 + .1, Z home over 400 mm 2.2 + .1, to the next part 2.3, X20. .3: 5.95 s
        index    .9 s
        dwell    1.5 s
                 36 + 1.1 + 12 + 1.8 + 1.5 = 52.4 s

By way of the index position
T0101   retract  .3, X over 80 mm .6 + .1, Z over 340 mm 1.9 + .1, back Z over 300 mm 1.7 + .1: 4.8 s
T0303   retract  X over 100 mm .7 + .1, Z over 300 mm 1.7 + .1, to the next part 1.8, X20. .3: 4.7 s
                 9.5 s, which is 2.5 s less than 12 s
"""
