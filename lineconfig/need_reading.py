"""From a brief as it is written to a need with everything settled, and back."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from lineconfig.brief import AddedFormat, Brief, FormatNeed, InlineContainer
from lineconfig.brief_checks import (
    growth_findings,
    id_findings,
    money_findings,
    plain_money_findings,
    plain_value_findings,
    room_findings,
    value_findings,
)
from lineconfig.brief_notes import improbable_findings
from lineconfig.catalog import Catalog
from lineconfig.containers import Container
from lineconfig.errors import InputError, Problem, did_you_mean
from lineconfig.inline_container import container_of, inline_id
from lineconfig.need import MINUTES_PER_HOUR, Format, Need, Phase
from lineconfig.quantities import CARBONATION, TEMPERATURE
from lineconfig.reading import Node, checked, model_of, read_text, read_tree
from lineconfig.rounding import cpm_text
from lineconfig.wording import label_of

DEFAULT_CARBONATION = CARBONATION.parse("2.5 vol")
DEFAULT_FILL_TEMPERATURE = TEMPERATURE.parse("2 degC")


NO_SPEED = (
    "neither speed nor annual_cans is given: write a speed such as '60 cpm', or annual_cans for "
    "every format"
)


def read_brief(source: str | Path) -> Brief:
    """Read a brief: a path, or `-` for standard input.

    Raises InputError with every problem of form.
    """
    return model_of(Brief, *read_tree(*read_text(source)))


def read_need(source: str | Path, catalog: Catalog) -> Need:
    """Read a brief (a path, or `-` for standard input) and settle it.

    Raises InputError with every problem found.
    """
    return need_of_text(*read_text(source), catalog)


def need_of_text(text: str, label: str, catalog: Catalog) -> Need:
    """Settle a brief's text; `label` names it in messages.

    Raises InputError with every problem found.
    """
    root, problems = read_tree(text, label)
    brief = checked(Brief, root, problems)
    if brief is None:
        plain = root.plain()
        for path, said in (
            *id_findings(plain, catalog),
            *plain_value_findings(plain),
            *plain_money_findings(plain, catalog.economics.currency),
        ):
            node = root.at(path)
            if not node.refused:
                problems.append(node.problem(f"{label_of(path)}: {said}"))
        if _speed_is_missing(plain):
            problems.append(root.problem(NO_SPEED))
        raise InputError.of(problems)
    return _Settler(brief, catalog, label, root, problems).need()


def _speed_is_missing(plain: Any) -> bool:
    """Whether a brief that does not fit its schema says nothing of speed or yearly cans."""
    formats = plain.get("formats")
    entries = formats if isinstance(formats, list) else []
    stated = [entry for entry in entries if not isinstance(entry, dict) or "annual_cans" in entry]
    misspelt = any(did_you_mean(str(key), ("speed",)) for key in plain)
    return bool(entries) and not misspelt and not stated


def settle(
    brief: Brief, catalog: Catalog, *, file: str = "brief", positions: Node | None = None
) -> Need:
    """Look up a brief's containers and fill in what it leaves open.

    `file` names the brief in messages; `positions` is the tree that it was read from, for the
    lines.

    Raises InputError with every impossible value, unknown id and contradiction.
    """
    return _Settler(brief, catalog, file, positions, []).need()


class _Settler:
    """Settles one brief; collects what is wrong and which defaults were used."""

    def __init__(
        self,
        brief: Brief,
        catalog: Catalog,
        file: str,
        positions: Node | None,
        problems: list[Problem],
    ) -> None:
        self.brief = brief
        self.catalog = catalog
        self.file = file
        self.positions = positions
        self.problems = problems
        self.defaults_used: list[str] = []
        self.taken: set[str] = set()
        economics = catalog.economics
        self.defaults, self.habits = economics.defaults, economics.habits

    def complain(self, path: tuple[str | int, ...], text: str) -> None:
        self.problems.append(self._placed(path, text))

    def _placed(self, path: tuple[str | int, ...], text: str) -> Problem:
        label = label_of(path)
        text = f"{label}: {text}" if label else text
        if self.positions is None:
            return Problem(self.file, 0, text)
        return self.positions.at(path).problem(text)

    def need(self) -> Need:
        brief, catalog = self.brief, self.catalog
        self._check()
        containers = [
            self._container(entry.container, ("formats", place, "container"))
            for place, entry in enumerate(brief.formats)
        ]
        added = [
            [
                self._container(entry.container, ("growth", place, "add_formats", row, "container"))
                for row, entry in enumerate(step.add_formats)
            ]
            for place, step in enumerate(brief.growth)
        ]
        if self.problems:
            raise InputError.of(self.problems)
        settled = [container for container in containers if container is not None]
        operation = brief.operation
        carbonation = self._or_default(
            "product.carbonation", brief.product.carbonation_vol, DEFAULT_CARBONATION
        )
        fill_temperature = self._or_default(
            "product.fill_temperature",
            brief.product.fill_temperature_degc,
            DEFAULT_FILL_TEMPERATURE,
        )
        self._note_choices("product", brief.product, ("heat_treatment",))
        hours = self._or_default(
            "operation.hours_per_week", operation.hours_per_week, self.defaults.hours_per_week
        )
        weeks = self._or_default(
            "operation.weeks_per_year", operation.weeks_per_year, self.defaults.weeks_per_year
        )
        changeovers = self._or_default(
            "operation.changeovers_per_week",
            operation.changeovers_per_week,
            self.defaults.changeovers_per_week,
        )
        speed_cpm, cans = self._flow(hours * weeks, settled)
        formats = self._formats(settled, cans, speed_cpm)
        wage = self._or_default("staff.wage", brief.staff.wage_per_h, self.defaults.wage)
        horizon = self._or_default("horizon", brief.horizon_years, self.defaults.horizon_years)
        rate = self._or_default("discount_rate", brief.discount_rate, self.defaults.discount_rate)
        self._note_choices("staff", brief.staff, ("ladder_work",))
        self._note_choices("", brief, ("mobility", "rinse", "prefer"))
        phases = self._phases(formats, added)
        if self.problems:
            raise InputError.of(self.problems)
        return Need(
            brief=brief,
            formats=formats,
            speed_cpm=speed_cpm,
            hours_per_week=float(hours),
            weeks_per_year=float(weeks),
            changeovers_per_week=float(changeovers),
            wage_per_h=float(wage),
            horizon_years=float(horizon),
            discount_rate=float(rate),
            carbonation_vol=float(carbonation),
            fill_temperature_degc=float(fill_temperature),
            currency=catalog.economics.currency,
            view=brief.prefer,
            defaults_used=tuple(self.defaults_used),
            phases=phases,
            notes=tuple(
                sorted(self._placed(path, text) for path, text in improbable_findings(brief))
            ),
        )

    # --- checks ----------------------------------------------------------------------------------

    def _check(self) -> None:
        brief, catalog = self.brief, self.catalog
        plain = brief.model_dump(by_alias=True)
        for findings in (
            value_findings(brief),
            room_findings(brief),
            money_findings(brief, catalog.economics.currency),
            growth_findings(brief),
            id_findings(plain, catalog),
        ):
            for path, text in findings:
                self.complain(path, text)
        stated = [entry.annual_cans is not None for entry in brief.formats]
        if brief.speed_cpm is None and not any(stated):
            self.complain((), NO_SPEED)
        elif brief.speed_cpm is None and not all(stated):
            for place, found in enumerate(stated):
                if not found:
                    self.complain(
                        ("formats", place),
                        "has no annual_cans: without a speed, every format needs its own",
                    )

    def _container(
        self, choice: str | InlineContainer, path: tuple[str | int, ...]
    ) -> Container | None:
        if isinstance(choice, str):
            return self.catalog.containers.get(choice)
        name = inline_id(choice)
        try:
            container = container_of(choice, name)
        except ValueError as error:
            self.complain(path, str(error))
            return None
        count = 1
        while container.id in self.taken or container.id in self.catalog.containers:
            count += 1
            container = container.model_copy(update={"id": f"{name}-{count}"})
        self.taken.add(container.id)
        return container

    # --- defaults --------------------------------------------------------------------------------

    def _or_default(self, path: str, stated: Any, default: Any) -> Any:
        if stated is not None:
            return stated
        self._note(path, default)
        return default

    def _note(self, path: str, value: Any, why: str = "") -> None:
        text = str(getattr(value, "text", value))
        text = text.lower() if isinstance(value, bool) else text
        if isinstance(value, float) and not hasattr(value, "text"):
            text = f"{value:.10g}"
        self.defaults_used.append(f"{path}: {text}" + (f" ({why})" if why else ""))

    def _note_choices(self, path: str, record: Any, keys: Iterable[str]) -> None:
        for key in keys:
            if key not in record.model_fields_set:
                self._note(f"{path}.{key}" if path else key, getattr(record, key))

    # --- speed and volumes -----------------------------------------------------------------------

    def _flow(self, hours: float, containers: Sequence[Container]) -> tuple[float, list[int]]:
        """The speed asked for [cpm] and each format's yearly cans."""
        brief = self.brief
        stated = [entry.annual_cans for entry in brief.formats]
        running_min = hours * MINUTES_PER_HOUR * self.habits.planning_efficiency
        efficiency = self.habits.planning_efficiency.text
        if brief.speed_cpm is None:
            total = sum(cans or 0 for cans in stated)
            speed_cpm = math.ceil(total / running_min * 10 - 1e-9) / 10
            self._note(
                "speed", f"{speed_cpm:.10g} cpm",
                f"from annual_cans over {hours:.10g} h a year at {efficiency} planned",
            )  # fmt: skip
            if speed_cpm > 5000:
                self.complain(
                    (), f"{total:,} cans in {hours:,.0f} h a year need {speed_cpm:,.0f} cpm: no "
                    "line is so fast",
                )  # fmt: skip
            return speed_cpm, [cans or 0 for cans in stated]
        open_places = [place for place, cans in enumerate(stated) if cans is None]
        left = brief.speed_cpm * running_min - sum(cans or 0 for cans in stated)
        if open_places and left < len(open_places):
            for place in open_places:
                self.complain(
                    ("formats", place),
                    f"has no annual_cans, and the others fill the {hours:,.0f} h a year at "
                    f"{brief.speed_cpm.text} already: write its annual_cans",
                )
        cans = [number or 0 for number in stated]
        for place in open_places:
            cans[place] = int(left / len(open_places))
            self._note(
                f"formats.{containers[place].id}.annual_cans", cans[place],
                f"from {brief.speed_cpm.text} over {hours:.10g} h a year at {efficiency} planned",
            )  # fmt: skip
        return float(brief.speed_cpm), cans

    def _formats(
        self, containers: Sequence[Container], cans: Sequence[int], speed_cpm: float
    ) -> tuple[Format, ...]:
        main_ml = containers[max(range(len(cans)), key=cans.__getitem__)].volume_ml
        formats = []
        for entry, container, number in zip(self.brief.formats, containers, cans, strict=True):
            # A larger container takes longer to fill, so fewer a minute are asked for.
            needed_cpm = speed_cpm * min(1.0, main_ml / container.volume_ml)
            if entry.speed_cpm is not None:
                needed_cpm = float(entry.speed_cpm)
            elif needed_cpm < speed_cpm:
                self._note(
                    f"formats.{container.id}.speed", f"{cpm_text(needed_cpm)} cpm",
                    f"{container.volume_ml:g} ml take longer to fill than the {main_ml:g} ml "
                    f"asked for at {speed_cpm:,.10g} cpm",
                )  # fmt: skip
            formats.append(
                Format(
                    container=container,
                    annual_cans=float(number),
                    needed_cpm=needed_cpm,
                    supply=entry.supply,
                    rehandled=self._rehandled(entry, container),
                    open_storage=entry.open_storage,
                    label=entry.label,
                )
            )
        for key in ("rehandled", "open_storage", "label"):
            silent = [
                container.id
                for entry, container in zip(self.brief.formats, containers, strict=True)
                if key not in entry.model_fields_set
                and not (key == "rehandled" and _handled_again(entry))
            ]
            default = FormatNeed.model_fields[key].default
            if len(silent) == len(formats):
                self._note(f"formats.{key}", default)
            else:
                for name in silent:
                    self._note(f"formats.{name}.{key}", default)
        return tuple(formats)

    def _rehandled(self, entry: FormatNeed, container: Container) -> bool:
        why = _handled_again(entry)
        if why and not entry.rehandled:
            self._note(f"formats.{container.id}.rehandled", True, why)
        return entry.rehandled or bool(why)

    # --- growth ----------------------------------------------------------------------------------

    def _phases(
        self, formats: Sequence[Format], added: Sequence[Sequence[Container | None]]
    ) -> tuple[Phase, ...]:
        """Every later year's volumes: the stated total, less what added formats take of it."""
        today = sum(fmt.annual_cans for fmt in formats)
        before = {fmt.id: (fmt.container, fmt.annual_cans) for fmt in formats}
        phases = []
        for place, (step, containers) in enumerate(zip(self.brief.growth, added, strict=True)):
            pairs = [
                (entry, container)
                for entry, container in zip(step.add_formats, containers, strict=True)
                if container is not None
            ]
            counted = sum(entry.annual_cans or 0 for entry, _ in pairs)
            share = sum(entry.share or 0.0 for entry, _ in pairs)
            old = sum(cans for _, cans in before.values())
            total = today * step.volume if step.volume is not None else old + counted
            left = total * (1 - share) - counted
            if left < 0:
                self.complain(
                    ("growth", place),
                    f"the added formats take more than the {total:,.0f} cans of that year",
                )
                continue
            before = {
                name: (container, cans * left / old) for name, (container, cans) in before.items()
            }
            for entry, container in pairs:
                before[container.id] = (container, _added_cans(entry, total))
            phases.append(Phase(step.year, tuple(before.values())))
        return tuple(phases)


def _added_cans(entry: AddedFormat, total: float) -> float:
    if entry.share is not None:
        return float(entry.share * total)
    return float(entry.annual_cans or 0)


def _handled_again(entry: FormatNeed) -> str:
    """Why these containers are handled again after the can plant; empty where they are not."""
    if entry.label == "pre-sleeved":
        return "pre-sleeved"
    return "supplied loose" if entry.supply == "loose" else ""


def brief_as_read(need: Need) -> dict[str, Any]:
    """The brief with what was left open filled in, as plain data that reads as a brief again."""
    brief = need.brief
    plain: dict[str, Any] = brief.model_dump(by_alias=True, exclude_none=True)
    plain["speed"] = _written(brief.speed_cpm, need.speed_cpm, " cpm")
    plain["product"] |= {
        "carbonation": _written(brief.product.carbonation_vol, need.carbonation_vol, " vol"),
        "fill_temperature": _written(
            brief.product.fill_temperature_degc, need.fill_temperature_degc, " degC"
        ),
    }
    for entry, fmt in zip(plain["formats"], need.formats, strict=True):
        entry["annual_cans"] = int(fmt.annual_cans)
        entry["rehandled"] = fmt.rehandled
    plain["operation"] = {
        "hours_per_week": _number(need.hours_per_week),
        "weeks_per_year": _number(need.weeks_per_year),
        "changeovers_per_week": _number(need.changeovers_per_week),
    }
    plain["staff"]["wage"] = _written(
        brief.staff.wage_per_h, need.wage_per_h, f" {need.currency}/h"
    )
    plain["horizon"] = _written(brief.horizon_years, need.horizon_years, " years")
    plain["discount_rate"] = _written(brief.discount_rate, need.discount_rate * 100, " %")
    keys = [field.alias or name for name, field in Brief.model_fields.items()]
    return {key: plain[key] for key in keys if key in plain}


def _number(value: float) -> float:
    return int(value) if value.is_integer() else value


def _written(stated: Any, value: float, unit: str) -> str:
    return str(stated.text) if stated is not None else f"{value:.10g}{unit}"
