"""First cost: what is added to the price of the equipment, item by item."""

from __future__ import annotations

from lineconfig.assess.inputs import require_not_negative
from lineconfig.assess.money import Range, total


def first_cost_items(
    equipment: Range, *, freight: float, installation: float, training: float, contingency: float
) -> dict[str, Range]:
    """First cost by item, in the order in which it is added up.

    Parameters
    ----------
    equipment : Range
        Price of machines, tracks and change parts. [currency]
    freight, installation, training : float
        Shares of the price of the equipment. [-]
    contingency : float
        Share of all of them together. [-]

    Returns
    -------
    dict of str to Range
        Adds up to the first cost. [currency]

    Raises
    ------
    ValueError
        If a share is negative.
    """
    require_not_negative(
        freight=freight, installation=installation, training=training, contingency=contingency
    )
    items = {
        "equipment and parts": equipment,
        "freight": equipment * freight,
        "installation": equipment * installation,
        "training": equipment * training,
    }
    return {**items, "contingency": total(items.values()) * contingency}
