"""Machine files of one invented lathe, for the tests that need one. Every number in them is made up.

The zeros of the work frame that follow from FULL, X in diameters, offset + common shift + geometry + wear:

    G54       T0101  X    0 + 0 - 180.4 + .04 = -180.36    Z -520 + 1.5 - 70.25 - .02 = -588.77
    G54       T0111  X    0 + 0 - 180.4 + .02 = -180.38    Z -520 + 1.5 - 66 + 0      = -584.5   (wear Z assumed)
    G54       T0202  X    0 + 0 - 175   + 0   = -175       Z -520 + 1.5 - 110 + 0     = -628.5   (wear assumed)
    G54       T0100                                        Z -520 + 1.5               = -518.5
    G55       T0101  X   -1 + 0 - 180.36      = -181.36    Z -500 + 1.5 - 70.27       = -568.77
    G54.1 P3  T0101  X    0 + 0 - 180.36      = -180.36    Z -480 + 1.5 - 70.27       = -548.77
"""

from __future__ import annotations

FULL = """
[machine]
code_system = "A"
unit = "mm"
x_words = "diameter"
common_shift = { X = 0.0, Z = 1.5 }

[axes.X]
travel = [-420.0, 2.0]
home = 0.0
references = { 2 = -20.0 }
carries = "turret"

[axes.Z]
travel = [-650.0, 1.0]
home = -2.0
references = { 2 = -300.0, 3 = -120.5 }
carries = "turret"

[work_offsets.G54]
X = 0.0
Z = -520.0

[work_offsets.G55]
X = -1.0
Z = -500.0

[work_offsets."G54.1 P3"]
X = 0.0
Z = -480.0

[[tools]]
station = 1
offset = 1
X = -180.4
Z = -70.25
wear_X = 0.04
wear_Z = -0.02
kind = "turning"

[[tools]]
station = 1
offset = 11
X = -180.4
Z = -66.0
wear_X = 0.02

[[tools]]
station = 2
offset = 2
X = -175.0
Z = -110.0
kind = "drill"
"""

# Zeros with G54 T0101: X 0 - 7.1 + .002 = -7.098 in = -180.2892 mm; Z -20 - 2.75 = -22.75 in = -577.85 mm.
INCH = """
[machine]
code_system = "A"
unit = "inch"
x_words = "diameter"
common_shift = { X = 0.0, Z = 0.0 }

[axes.X]
travel = [-16.5, 0.1]
home = 0.0

[axes.Z]
travel = [-25.0, 0.1]
home = -0.1

[work_offsets.G54]
X = 0.0
Z = -20.0

[[tools]]
station = 1
offset = 1
X = -7.1
Z = -2.75
wear_X = 0.002
wear_Z = 0.0
"""

NO_TRAVEL = FULL.replace("travel = [-420.0, 2.0]\n", "").replace("travel = [-650.0, 1.0]\n", "")
NO_Z_TRAVEL = FULL.replace("travel = [-650.0, 1.0]\n", "")
NO_WEAR = FULL.replace("wear_X = 0.04\nwear_Z = -0.02\n", "")
NO_SHIFT = FULL.replace("common_shift = { X = 0.0, Z = 1.5 }\n", "")
NO_SHIFT_NO_WEAR = NO_SHIFT.replace("wear_X = 0.04\nwear_Z = -0.02\n", "")
NO_X_OFFSET = FULL.replace("[work_offsets.G54]\nX = 0.0\n", "[work_offsets.G54]\n")
NO_UNIT = FULL.replace('unit = "mm"\n', "")


def with_machine_key(line: str, file: str = FULL) -> str:
    """The file with one more line in its [machine]."""
    return file.replace("[machine]\n", f"[machine]\n{line}\n", 1)
