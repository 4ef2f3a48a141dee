"""What one line breaks: every rule and limit, with its sentence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from lineconfig.choose.inquiry import Inquiry
from lineconfig.choose.limits import ADDITIVE, HOURS, LIMITS, PEOPLE, Limit
from lineconfig.choose.rules import RULES, Rule
from lineconfig.connect.search import Found
from lineconfig.layout import Layout


@dataclass(frozen=True, slots=True)
class Shortfall:
    """How far short a limit is: what it takes at the least, and what the brief gives."""

    needed: float
    given: float
    unit: str

    @property
    def short(self) -> float:
        """What is missing, without a sign."""
        return abs(self.needed - self.given)


@dataclass(frozen=True, slots=True)
class Clash:
    """One rule or limit that a line breaks."""

    rule: str
    field: str | None
    text: str
    shortfall: Shortfall | None = None
    """Where the limit is a number of the brief."""
    line: Layout | None = None
    """The line that the sentence speaks of, where it is one that can be named."""


def clashes(
    inquiry: Inquiry, found: Found, rules: Sequence[Rule] = RULES, limits: Sequence[Limit] = LIMITS
) -> list[Clash]:
    """Every rule and limit that one line breaks, with its sentence; empty for a valid line."""
    values: dict[str, Any] = {
        item.station.function: item.station.option
        for item in found.stated
        if item.station.function != "convey"
    }
    options = list(values.values())
    for scheme in found.schemes:
        values.update(scheme.ports)
    broken = []
    for rule in rules:
        asked = [(option,) for option in options] if rule.each else [
            tuple(values[name] for name in rule.scope)
        ]  # fmt: skip
        broken += [
            Clash(rule.id, rule.field, rule.refusal(inquiry, *args))
            for args in asked
            if not rule.holds(inquiry, *args)
        ]
    for limit in limits:
        allowed, used = limit.allowed(inquiry), used_of(found, limit)
        if allowed is not None and used > allowed:
            broken.append(
                Clash(
                    limit.id, limit.field, limit.text.format(used=used, allowed=allowed),
                    Shortfall(used, allowed, limit.unit),
                )
            )  # fmt: skip
    return broken


def used_of(found: Found, limit: Limit) -> float:
    """What a line takes of a limit, in the limit's unit."""
    if limit is PEOPLE:
        return found.running.people
    if limit is HOURS:
        return found.running.hours
    column = ADDITIVE.index(limit)
    return sum(item.uses[column] for item in found.stated)
