"""How deep the passes of a thread stand, and how high threads are.

Sources: the height of an external thread with a rounded root, h3 = 17 H / 24, that of an internal one, 5 H / 8, and
H = P root 3 / 2 are those of ISO 68-1; the minor diameters d3 of M10x1.5 and M8x1.25 are those of tables made by it.
That passes of equal chip area stand at the root of their share of the depth follows from the area of a V groove, which
is worked out here a second time.
"""

from __future__ import annotations

import re
from math import sqrt
from pathlib import Path

import pytest

import waywright.demo
from waywright.motion.threading import pass_depths

DEMO = Path(waywright.demo.__file__).parent


def height(pitch: float) -> float:
    """h3 of ISO 68-1: the depth of an external thread."""
    return 17 / 24 * sqrt(3) / 2 * pitch


def test_even_chip_area() -> None:
    # Depth .920 in 6 passes. With a first pass of .920 / root 6 a cycle comes to the same depths.
    depth = 0.920
    found = pass_depths(depth / sqrt(6) * 1e6, depth * 1e6, 0)
    assert found is not None
    # What is left behind the sixth is less than the rounding of a root.
    assert [each / 1e6 for each in found[:6]] == pytest.approx(
        [0.3756, 0.5312, 0.6505, 0.7512, 0.8398, 0.9200], abs=5e-5
    )
    # The area of a V groove grows with the square of its depth.
    areas = [deep**2 - before**2 for before, deep in zip([0.0, *found], found[:6], strict=False)]
    assert areas == pytest.approx([areas[0]] * 6)


@pytest.mark.parametrize(("size", "pitch", "d3"), [(10.0, 1.5, 8.160), (8.0, 1.25, 6.466)])
def test_heights_of_external_threads(size: float, pitch: float, d3: float) -> None:
    assert size - 2 * height(pitch) == pytest.approx(d3, abs=5e-4)
    assert height(1.0) == pytest.approx(0.613435, abs=5e-7)


EXTERNAL = re.compile(r"G7[68]X[.\d]+Z-[.\d]+P(\d+)Q\d+F([.\d]+)")
THREADS = sorted(
    {
        (found[1], found[2], "inch" in str(path))
        for path in DEMO.rglob("*.nc")
        # The thread of the nut is an internal one, whose height is another.
        if path.name != "nut-op20.nc"
        for found in EXTERNAL.finditer(path.read_text(encoding="utf-8").replace(" ", ""))
    }
)


def test_there_are_threads_in_the_demo_programs() -> None:
    assert ("1227", "2.", False) in THREADS
    assert len(THREADS) > 3


@pytest.mark.parametrize(("written", "lead", "inch"), THREADS)
def test_heights_that_the_demo_programs_cut(written: str, lead: str, inch: bool) -> None:
    counts = 1e-4 if inch else 1e-3
    assert int(written) * counts == pytest.approx(height(float(lead)), abs=counts)


def test_height_of_the_internal_thread_of_the_demo_programs() -> None:
    [(written, lead)] = EXTERNAL.findall((DEMO / "nut-op20.nc").read_text(encoding="utf-8").replace(" ", ""))
    assert int(written) / 1000 == pytest.approx(5 / 8 * sqrt(3) / 2 * float(lead), abs=1e-3)
