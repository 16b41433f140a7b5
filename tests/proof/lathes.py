"""A machine file for the proofs. Every number in it is made up.

Zeros of G54: with T0101 X-382. Z-388., with T0202 X-396. Z-282., with T0303 X-382. Z-390., with T0404 X-418. Z-298.
"""

from __future__ import annotations

LATHE = """
[machine]
unit = "mm"
common_shift = { X = 0.0, Z = 0.0 }

[axes.X]
travel = [-440.0, 0.5]
home = 0.0
references = { 2 = -60.0 }
carries = "turret"

[axes.Z]
travel = [-520.0, 0.5]
home = 0.0
references = { 2 = -50.0 }
carries = "turret"

[index_position]
X = -130.0
Z = -120.0

[work_offsets.G54]
X = -480.0
Z = -420.0

[[tools]]
station = 1
offset = 1
X = 98.0
Z = 32.0
wear_X = 0.0
wear_Z = 0.0
kind = "turning"

[[tools]]
station = 2
offset = 2
X = 84.0
Z = 138.0
wear_X = 0.0
wear_Z = 0.0
kind = "drill"

[[tools]]
station = 3
offset = 3
X = 98.0
Z = 30.0
wear_X = 0.0
wear_Z = 0.0
kind = "grooving"

[[tools]]
station = 4
offset = 4
X = 62.0
Z = 122.0
wear_X = 0.0
wear_Z = 0.0
kind = "boring"
"""
