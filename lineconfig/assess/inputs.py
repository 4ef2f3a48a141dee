"""Guards that every formula puts in front of its inputs."""

from __future__ import annotations

import math


def require_positive(**quantities: float) -> None:
    """Refuse quantities that are not finite numbers above zero.

    Parameters
    ----------
    **quantities : float
        The quantities under the names that the message shall use. [their own units]

    Raises
    ------
    ValueError
        Names the first quantity that is zero, negative, infinite or not a number.
    """
    for name, value in quantities.items():
        if not (math.isfinite(value) and value > 0):
            raise ValueError(f"{name} must be a finite number above 0, found {value}")


def require_not_negative(**quantities: float) -> None:
    """Refuse quantities that are not finite numbers of zero or more.

    Parameters
    ----------
    **quantities : float
        The quantities under the names that the message shall use. [their own units]

    Raises
    ------
    ValueError
        Names the first quantity that is negative, infinite or not a number.
    """
    for name, value in quantities.items():
        if not (math.isfinite(value) and value >= 0):
            raise ValueError(f"{name} must be a finite number of 0 or more, found {value}")
