"""A lathe with two tools whose index position lies nearer than home, for programs that go home all the same."""

from __future__ import annotations


def lathe(*, settle: float = 0.0, kind: str = "", parts: int | None = None) -> str:
    """Its machine file. settle: seconds behind a rapid. kind: of the first tool. parts: of the batch."""
    batch = "" if parts is None else f"[batch]\nparts = {parts}\n"
    first = f'kind = "{kind}"\n' if kind else ""
    return f"""
[machine]
code_system = "A"
unit = "mm"
x_words = "diameter"
rapid_path = "dogleg"
settle = {settle}
common_shift = {{ X = 0.0, Z = 0.0 }}
[axes.X]
home = 0.0
rapid = 20000
acceleration = 4000
[axes.Z]
home = 0.0
rapid = 24000
acceleration = 5000
[index_position]
X = -130.0
Z = -120.0
{batch}[work_offsets.G54]
X = -480.0
Z = -412.0
[[tools]]
station = 1
offset = 1
X = 98.0
Z = 31.0
wear_X = 0.0
wear_Z = 0.0
{first}[[tools]]
station = 2
offset = 2
X = 84.0
Z = 138.0
wear_X = 0.0
wear_Z = 0.0
"""
