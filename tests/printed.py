"""How people round the figures of the JSON: half up, by the decimal module."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal


def printed(figure: float, decimals: int = 0) -> str:
    """A figure of the JSON with so many decimals, thousands parted by commas."""
    exact = Decimal(str(figure)).quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)
    return f"{exact:,}"
