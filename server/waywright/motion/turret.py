"""How long a turret takes to turn to another station."""

from __future__ import annotations


def index_seconds(
    start: int, to: int, stations: int | None, fixed: float, per_station: float, both_ways: bool | None
) -> float | None:
    """Seconds to index between two stations, numbered from 1; 0 where the turret is there already.

    stations: how many the turret has. fixed: what each index takes, in seconds. per_station: what each step to the next
    station adds. both_ways: whether it goes the shorter way round; where it does not, it turns to ascending numbers.
    None: not known where what is not known makes a difference, or where the turret has no such station.
    """
    if start == to:
        return 0.0
    if not per_station:
        return fixed
    if stations is None or not (1 <= start <= stations and 1 <= to <= stations):
        return None
    up = (to - start) % stations
    down = stations - up
    if both_ways is None and down < up:
        return None
    return fixed + per_station * (min(up, down) if both_ways else up)
