"""The order in which cans pass the stations of a line: that of every list of them."""

from __future__ import annotations

from collections.abc import Sequence

from lineconfig.catalog import FUNCTIONS
from lineconfig.choose.sections import SECTIONS
from lineconfig.layout import Station

BEHIND_FILLER = "dry"
"""The first function that may stand behind the filler: chain begins before it."""
BEFORE = {"infeed-rail": "lower"}
"""Before which function a coder stands, by its place: cans are still dry and upright there."""
BEHIND = {"after-dryer": "dry", "on-case": "pack"}
"""Behind which function a coder stands, by its place."""
_PACKING = tuple(name for name in SECTIONS["packing"] if name in FUNCTIONS)
_BEFORE_IT, _AT_IT, _BEHIND_IT = -1, 0, 1


def flow_order(stations: Sequence[Station]) -> tuple[int, ...]:
    """Places of the stations of one line, given section by section, in the order of the flow.

    The chain of a section leads to several machines; it stands where cans first come to it.

    Parameters
    ----------
    stations : section by section as the search has them, the chain of each behind the rest
    """
    keys: list[tuple[int, int]] = []
    chain = BEHIND_FILLER
    for station in stations:
        place = station.option.equipment.place or ""
        if station.function == "convey":
            keys.append((FUNCTIONS.index(chain), _BEFORE_IT))
        elif station.function == "code" and place in BEFORE:
            keys.append((FUNCTIONS.index(BEFORE[place]), _BEFORE_IT))
        elif station.function == "code" and place in BEHIND:
            keys.append((FUNCTIONS.index(BEHIND[place]), _BEHIND_IT))
        else:
            keys.append((FUNCTIONS.index(station.function), _AT_IT))
            if station.function in _PACKING:
                chain = _PACKING[0]
    return tuple(sorted(range(len(stations)), key=keys.__getitem__))
