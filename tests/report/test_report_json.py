"""JSON for other programs, to the byte."""

from __future__ import annotations

from waywright.report import json
from waywright.report.findings import Program, Reported


def test_check() -> None:
    finding = Reported("return-by-work-point", "error", 2, 5, 2, 12, "First to X0. Ø.")
    assert json.check([Program("a.nc", ("code system A",), (finding,)), Program("b.nc", (), ())]) == (
        '{"version":1,"programs":[{"path":"a.nc","assumed":["code system A"],"findings":['
        '{"rule":"return-by-work-point","severity":"error","line":2,"column":5,"end_line":2,"end_column":12,'
        '"message":"First to X0. Ø.","remedies":[]}]},{"path":"b.nc","assumed":[],"findings":[]}]}\n'
    )
