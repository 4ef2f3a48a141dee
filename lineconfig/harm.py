"""Harm: how much each caution weighs, what it is about, and which containers it concerns.

The weights order cautions; they are a planner's judgement (common practice), not a risk assessment.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Literal, get_args

from lineconfig.containers import Container

Topic = Literal[
    "falls and falling loads", "moving parts", "gas and pressure", "heat and chemicals",
    "hands and backs", "floor, traffic and noise", "product", "other",
]  # fmt: skip
TOPICS: tuple[Topic, ...] = get_args(Topic)

KILLS, MAIMS, INJURES, SPOILS = 1, 2, 3, 4
"""What the worst outcome may be; the least number weighs most."""

HARMS: dict[str, tuple[int, Topic]] = {
    "platform": (KILLS, "falls and falling loads"),
    "ladder-work": (KILLS, "falls and falling loads"),
    "step-or-platform": (KILLS, "falls and falling loads"),
    "fall-protection": (KILLS, "falls and falling loads"),
    "fall-onto-equipment": (KILLS, "falls and falling loads"),
    "platform-guardrail": (KILLS, "falls and falling loads"),
    "platform-handrail": (KILLS, "falls and falling loads"),
    "low-headroom": (INJURES, "falls and falling loads"),
    "raised-stack": (KILLS, "falls and falling loads"),
    "suspended-load": (MAIMS, "falls and falling loads"),
    "pallet-handling": (MAIMS, "falls and falling loads"),
    "tracks-overhead": (MAIMS, "falls and falling loads"),
    "unstable-load": (MAIMS, "falls and falling loads"),
    "heavy-pallet": (MAIMS, "falls and falling loads"),
    "falling-cans": (INJURES, "falls and falling loads"),
    "guard-distance": (KILLS, "moving parts"),
    "crush-zone": (KILLS, "moving parts"),
    "guard-defeat": (KILLS, "moving parts"),
    "light-curtain-distance": (KILLS, "moving parts"),
    "robot-contact": (MAIMS, "moving parts"),
    "lift-table": (MAIMS, "moving parts"),
    "seamer": (MAIMS, "moving parts"),
    "nip-points": (MAIMS, "moving parts"),
    "no-guard": (MAIMS, "moving parts"),
    "belt-crossing": (MAIMS, "moving parts"),
    "turntable-trip": (INJURES, "moving parts"),
    "carbon-dioxide": (KILLS, "gas and pressure"),
    "nitrogen-asphyxiation": (KILLS, "gas and pressure"),
    "pressure-vessel": (KILLS, "gas and pressure"),
    "heated-carbonated-can": (MAIMS, "gas and pressure"),
    "can-pressure": (MAIMS, "gas and pressure"),
    "over-pressure": (MAIMS, "gas and pressure"),
    "bursting-cans": (MAIMS, "gas and pressure"),
    "glass-breakage": (MAIMS, "gas and pressure"),
    "cleaning-chemicals": (MAIMS, "heat and chemicals"),
    "hot-water": (MAIMS, "heat and chemicals"),
    "laser-radiation": (MAIMS, "heat and chemicals"),
    "sanitizer-chemicals": (MAIMS, "heat and chemicals"),
    "cold-burns": (MAIMS, "heat and chemicals"),
    "heat-tunnel": (INJURES, "heat and chemicals"),
    "ink-solvent": (INJURES, "heat and chemicals"),
    "hot-melt": (INJURES, "heat and chemicals"),
    "static-high-voltage": (INJURES, "heat and chemicals"),
    "lifting-no-limit": (MAIMS, "hands and backs"),
    "lifting-high": (MAIMS, "hands and backs"),
    "lifting-raised": (INJURES, "hands and backs"),
    "manual-lifting": (INJURES, "hands and backs"),
    "reach-above-limit": (INJURES, "hands and backs"),
    "overhead-reach": (INJURES, "hands and backs"),
    "hands-high": (INJURES, "hands and backs"),
    "hands-low": (INJURES, "hands and backs"),
    "strap-cut": (INJURES, "hands and backs"),
    "sharp-rims": (INJURES, "hands and backs"),
    "knife": (INJURES, "hands and backs"),
    "truck-traffic": (KILLS, "floor, traffic and noise"),
    "wet-floor": (INJURES, "floor, traffic and noise"),
    "noise-above-ceiling": (MAIMS, "floor, traffic and noise"),
    "noise-above-limit": (INJURES, "floor, traffic and noise"),
    "noise-action-level": (INJURES, "floor, traffic and noise"),
    "noise-recommended-limit": (INJURES, "floor, traffic and noise"),
    "noise": (INJURES, "floor, traffic and noise"),
    "rinse-advised": (SPOILS, "product"),
    "no-rinse": (SPOILS, "product"),
    "wet-can": (SPOILS, "product"),
    "pasteurization-low": (SPOILS, "product"),
    "pasteurization-high": (SPOILS, "product"),
    "track-may-hang": (SPOILS, "product"),
    "track-too-flat": (SPOILS, "product"),
    "compressor-power": (SPOILS, "other"),
    "split-pallets": (INJURES, "hands and backs"),
}
"""Weight and topic by code. An overlay's own code weighs like a serious injury."""

UNKNOWN: tuple[int, Topic] = (MAIMS, "other")

_CONCERNS: dict[str, Callable[[Container], bool]] = {
    "glass-breakage": lambda can: can.kind == "glass-bottle",
    "sharp-rims": lambda can: can.closing == "seam",
    "seamer": lambda can: can.closing == "seam",
}
"""Cautions that go with some containers only."""


def harm_of(code: str) -> tuple[int, Topic]:
    """Weight and topic of a caution; the least weight comes first."""
    return HARMS.get(code, UNKNOWN)


def concerns(code: str, containers: Iterable[Container]) -> bool:
    """Whether a class's caution concerns any of these containers."""
    test = _CONCERNS.get(code)
    return test is None or any(test(can) for can in containers)
