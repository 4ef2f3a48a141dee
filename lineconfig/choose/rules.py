"""The rules: named conditions that a line must meet, each with a sentence for its refusal.

A rule looks at one function's option (`scope` of one, or `EACH` for every function in turn) or at
several options and ports of one section. Whole-line limits, such as people and budget, are in
`limits`. A rule never raises: it answers yes or no, and its sentence is only asked for after a no.

Ports are values that two sections must agree on: `infeed` (the filler's infeed height, mm), `rail`
(whether a coder sits on an offset rail before the filler) and `dry-cans` (whether cans leave the
filling side dry).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from lineconfig.choose.inquiry import Inquiry
from lineconfig.choose.options import Option
from lineconfig.need import Format
from lineconfig.quantities import feet_and_inches
from lineconfig.rounding import mm_text

EACH = ("each",)
"""Scope of a rule that is asked of every function's option by itself."""

COMMON = "common practice"
GEOMETRY = "geometry"
CLIENT = "the brief"


@dataclass(frozen=True)
class Rule:
    """One named condition."""

    id: str
    scope: tuple[str, ...]
    """Functions (and ports) that it looks at, in the order of the predicate's arguments."""
    field: str | None
    """The field of the brief that it comes from; None where physics or the trade says so."""
    holds: Callable[..., bool]
    """`holds(inquiry, *values)`."""
    refusal: Callable[..., str]
    """`refusal(inquiry, *values)`: one sentence with the figures, after `holds` said no."""
    basis: str

    @property
    def each(self) -> bool:
        """Whether it is asked of every function's option by itself."""
        return self.scope == EACH


def length_text(length_mm: float) -> str:
    """A length in millimetres and in feet and inches."""
    return f"{mm_text(length_mm)} mm ({feet_and_inches(length_mm)})"


def _name(option: Option) -> str:
    return option.equipment.name


def _first(formats: Iterable[Format]) -> Format:
    return next(iter(formats))


# --- containers and speed ----------------------------------------------------------------------


def _unfit(option: Option, fmt: Format) -> str | None:
    """Why this format does not go through this machine; None where it does."""
    accepts, can = option.equipment.accepts, fmt.container
    if accepts is None:
        return None
    if can.kind not in accepts.kinds:
        return f"takes {', '.join(accepts.kinds)}, not {can.kind}"
    if can.diameter_mm not in accepts.diameter_mm:
        return f"takes diameters of {accepts.diameter_mm.text}, not {can.diameter_mm:g} mm"
    if can.height_mm not in accepts.height_mm:
        return f"takes heights of {accepts.height_mm.text}, not {can.height_mm:g} mm"
    return None


def _fits(inquiry: Inquiry, option: Option) -> bool:
    return all(_unfit(option, fmt) is None for fmt in inquiry.need.formats)


def _fits_refusal(inquiry: Inquiry, option: Option) -> str:
    fmt = _first(fmt for fmt in inquiry.need.formats if _unfit(option, fmt))
    return f"{_name(option)} {_unfit(option, fmt)} ({fmt.container.name})"


def _closes(inquiry: Inquiry, fill: Option) -> bool:
    return all(_closing_gap(fill, fmt) is None for fmt in inquiry.need.formats)


def _closing_gap(fill: Option, fmt: Format) -> str | None:
    accepts, can = fill.equipment.accepts, fmt.container
    if accepts is None:
        return None
    if accepts.closings is not None and can.closing not in accepts.closings:
        return f"closes by {', '.join(accepts.closings)}, not by {can.closing}"
    if can.closing == "seam" and accepts.ends is not None and can.end not in accepts.ends:
        return f"seams ends {', '.join(accepts.ends)}, not {can.end}"
    return None


def _closes_refusal(inquiry: Inquiry, fill: Option) -> str:
    fmt = _first(fmt for fmt in inquiry.need.formats if _closing_gap(fill, fmt))
    return f"{_name(fill)} {_closing_gap(fill, fmt)} ({fmt.container.name})"


def _slow(inquiry: Inquiry, option: Option) -> list[tuple[Format, float]]:
    pairs = zip(inquiry.need.formats, option.rated_cpm, strict=True)
    return [(fmt, rated) for fmt, rated in pairs if rated < fmt.needed_cpm - 1e-6]


def _fast_enough(inquiry: Inquiry, option: Option) -> bool:
    return not _slow(inquiry, option)


def _fast_enough_refusal(inquiry: Inquiry, option: Option) -> str:
    fmt, rated = min(_slow(inquiry, option), key=lambda pair: pair[1] / pair[0].needed_cpm)
    return (
        f"{_name(option)} makes {rated:,.0f} cpm with {fmt.container.name}; "
        f"{fmt.needed_cpm:,.0f} cpm are needed"
    )


# --- product -----------------------------------------------------------------------------------


def _carbonation(inquiry: Inquiry, fill: Option) -> bool:
    accepts = fill.equipment.accepts
    if accepts is None or accepts.carbonation_vol is None:
        return True
    return inquiry.need.carbonation_vol in accepts.carbonation_vol


def _carbonation_refusal(inquiry: Inquiry, fill: Option) -> str:
    assert fill.equipment.accepts and fill.equipment.accepts.carbonation_vol
    return (
        f"{_name(fill)} fills {fill.equipment.accepts.carbonation_vol.text}; "
        f"the product has {inquiry.need.carbonation_vol:g} vol"
    )


def _treatment(inquiry: Inquiry, pasteurize: Option) -> bool:
    return pasteurize.equipment.treatment == inquiry.need.brief.product.heat_treatment


def _treatment_refusal(inquiry: Inquiry, pasteurize: Option) -> str:
    asked = inquiry.need.brief.product.heat_treatment
    wanted = f"the brief asks for {_TREATMENTS[asked]}"
    treatment = pasteurize.equipment.treatment
    if treatment is None or treatment == "none":
        return f"{_name(pasteurize)}: {wanted}"
    return f"{_name(pasteurize)} gives {_TREATMENTS[treatment]}; {wanted}"


_TREATMENTS: dict[str, str] = {
    "none": "no heat treatment",
    "batch": "heat treatment in batches",
    "tunnel": "heat treatment in a tunnel",
}


def _needs_nitrogen(inquiry: Inquiry) -> bool:
    still = inquiry.need.carbonation_vol < inquiry.habits.nitrogen_below_vol
    return still and any(can.kind == "two-piece-can" for can in inquiry.containers)


def _nitrogen(inquiry: Inquiry, dose: Option) -> bool:
    return dose.equipment.absent != _needs_nitrogen(inquiry)


def _nitrogen_refusal(inquiry: Inquiry, dose: Option) -> str:
    vol = inquiry.need.carbonation_vol
    if dose.equipment.absent:
        return f"a thin can with {vol:g} vol needs nitrogen to stay stiff: a doser is needed"
    return f"{_name(dose)}: {vol:g} vol or the container's own wall keeps it stiff"


def _label(inquiry: Inquiry, label: Option) -> bool:
    wanted = any(fmt.label == "wrap" for fmt in inquiry.need.formats)
    return label.equipment.absent != wanted


def _label_refusal(inquiry: Inquiry, label: Option) -> str:
    if label.equipment.absent:
        return "a format is to be wrap-labelled on the line: a labeller is needed"
    return f"{_name(label)}: every format arrives printed or sleeved"


# --- site --------------------------------------------------------------------------------------


def _phases(inquiry: Inquiry, option: Option) -> bool:
    power, utilities = inquiry.need.brief.site.power, option.equipment.utilities
    return power is None or utilities is None or utilities.phases <= power.phases


def _phases_refusal(inquiry: Inquiry, option: Option) -> str:
    return f"{_name(option)} needs three phases; the site has one"


def _travels(inquiry: Inquiry) -> bool:
    return inquiry.need.brief.mobility != "fixed"


def _passes_door(inquiry: Inquiry, option: Option) -> bool:
    door = inquiry.need.brief.site.door
    if door is None or option.owned:
        return True
    equipment = option.equipment
    piece = equipment.size if _travels(inquiry) else equipment.largest_part or equipment.size
    if piece is None:
        return True
    narrow, middle, _ = sorted((piece.length_mm, piece.width_mm, piece.height_mm))
    # A piece goes through lengthwise, upright or tipped on its side.
    return narrow <= min(door.width_mm, door.height_mm) and middle <= max(
        door.width_mm, door.height_mm
    )


def _passes_door_refusal(inquiry: Inquiry, option: Option) -> str:
    door, equipment = inquiry.need.brief.site.door, option.equipment
    piece = equipment.size if _travels(inquiry) else equipment.largest_part or equipment.size
    assert door is not None and piece is not None
    narrow, middle, _ = sorted((piece.length_mm, piece.width_mm, piece.height_mm))
    return (
        f"{_name(option)}: a piece of {narrow:,.0f} x {middle:,.0f} mm does not pass a door of "
        f"{door.width_mm:,.0f} x {door.height_mm:,.0f} mm"
    )


def _mobile(inquiry: Inquiry, option: Option) -> bool:
    return not _travels(inquiry) or option.equipment.mobility != "fixed"


def _mobile_refusal(inquiry: Inquiry, option: Option) -> str:
    why = {"stowed": "is packed away between runs", "mobile": "travels between sites"}
    return f"{_name(option)} stays where it is built; this line {why[inquiry.need.brief.mobility]}"


def _under_ceiling(inquiry: Inquiry, option: Option) -> bool:
    size = option.equipment.size
    if size is None or option.has("sweeps-layers"):
        return True  # a sweep unloader's height follows from its deck
    return size.height_mm + inquiry.habits.ceiling_clearance_mm <= inquiry.ceiling_mm


def _under_ceiling_refusal(inquiry: Inquiry, option: Option) -> str:
    size = option.equipment.size
    assert size is not None
    needed_mm = size.height_mm + inquiry.habits.ceiling_clearance_mm
    return (
        f"{_name(option)} needs a ceiling of {length_text(needed_mm)}; "
        f"there are {length_text(inquiry.ceiling_mm)}"
    )


def _in_room(inquiry: Inquiry, option: Option) -> bool:
    site, size = inquiry.need.brief.site, option.equipment.size
    if size is None or site.length_mm is None or site.width_mm is None:
        return True
    long_mm, short_mm = sorted((size.length_mm, size.width_mm), reverse=True)
    return long_mm <= max(site.length_mm, site.width_mm) and short_mm <= min(
        site.length_mm, site.width_mm
    )


def _in_room_refusal(inquiry: Inquiry, option: Option) -> str:
    site, size = inquiry.need.brief.site, option.equipment.size
    assert size is not None and site.length_mm is not None and site.width_mm is not None
    return (
        f"{_name(option)} is {size.length_mm:,.0f} x {size.width_mm:,.0f} mm; "
        f"the room is {site.length_mm:,.0f} x {site.width_mm:,.0f} mm"
    )


# --- what the client refuses or insists on -----------------------------------------------------


def _allowed(inquiry: Inquiry, option: Option) -> bool:
    exclude = inquiry.need.brief.exclude
    if option.id in exclude:
        return False
    return option.equipment.function not in exclude or option.equipment.absent


def _allowed_refusal(inquiry: Inquiry, option: Option) -> str:
    return f"the brief excludes {_name(option)}"


def _insisted(inquiry: Inquiry, option: Option) -> bool:
    classes = inquiry.catalog.classes
    wanted = [
        class_id
        for class_id in inquiry.need.brief.require
        if classes[class_id].function == option.equipment.function
    ]
    return not wanted or option.id in wanted


def _insisted_refusal(inquiry: Inquiry, option: Option) -> str:
    wanted = ", ".join(
        class_id
        for class_id in inquiry.need.brief.require
        if inquiry.catalog.classes[class_id].function == option.equipment.function
    )
    return f"the brief insists on {wanted}, not on {_name(option)}"


# --- empties side ------------------------------------------------------------------------------

_FORM_ORDER = {"loose": 0, "half-stack": 1, "full-pallet": 2}


def _supply_form(inquiry: Inquiry, supply: Option) -> bool:
    forms = inquiry.forms(supply)
    # The way of supply is named after the largest load that it brings in.
    return supply.equipment.supply_form == max(forms, key=_FORM_ORDER.__getitem__)


def _supply_form_refusal(inquiry: Inquiry, supply: Option) -> str:
    stated = sorted({fmt.supply for fmt in inquiry.need.formats if fmt.supply})
    return f"{_name(supply)}: the brief says the empties come as {', '.join(stated)}"


def _takes_supply(inquiry: Inquiry, supply: Option, unload: Option) -> bool:
    accepts = unload.equipment.accepts
    if accepts is None or accepts.supply is None:
        return True
    return set(inquiry.forms(supply)) <= set(accepts.supply)


def _takes_supply_refusal(inquiry: Inquiry, supply: Option, unload: Option) -> str:
    accepts = unload.equipment.accepts
    assert accepts is not None and accepts.supply is not None
    forms = sorted(set(inquiry.forms(supply)) - set(accepts.supply))
    return (
        f"{_name(unload)} works from {', '.join(accepts.supply)}; "
        f"the empties come as {', '.join(forms)}"
    )


def _level_supply(inquiry: Inquiry, supply: Option, unload: Option) -> bool:
    return not unload.has("needs-level-supply") or supply.has("keeps-layer-level")


def _level_supply_refusal(inquiry: Inquiry, supply: Option, unload: Option) -> str:
    return (
        f"layers are pushed onto {_name(unload)} by hand, so the stack must be kept level with it: "
        f"{_name(supply)} does not do that"
    )


def _idle_lift(inquiry: Inquiry, supply: Option, unload: Option) -> bool:
    return not supply.has("keeps-layer-level") or not unload.has("powered-unloader")


def _idle_lift_refusal(inquiry: Inquiry, supply: Option, unload: Option) -> str:
    return f"{_name(unload)} lifts the stack or reaches down to it: {_name(supply)} would be idle"


def _guarded(inquiry: Inquiry, unload: Option, guard: Option) -> bool:
    return unload.has("powered-unloader") != guard.equipment.absent


def _guarded_refusal(inquiry: Inquiry, unload: Option, guard: Option) -> str:
    if guard.equipment.absent:
        return f"{_name(unload)} moves a stack under power: it needs a light curtain or doors"
    return f"{_name(unload)} moves nothing under power that {_name(guard)} would guard"


def _format_count(inquiry: Inquiry, lower: Option) -> bool:
    tracks = lower.equipment.tracks
    return tracks is None or (
        tracks.formats_least <= len(inquiry.containers) <= tracks.formats_most
    )


def _format_count_refusal(inquiry: Inquiry, lower: Option) -> str:
    tracks, count = lower.equipment.tracks, len(inquiry.containers)
    assert tracks is not None
    least, most = tracks.formats_least, tracks.formats_most
    serves = f"{least}" if least == most else f"{least} to {most}"
    formats = "format" if most == 1 else "formats"
    return f"{_name(lower)} serves {serves} {formats}; the brief has {count}"


def _heights_connect(
    inquiry: Inquiry, supply: Option, unload: Option, lower: Option, infeed: float
) -> bool:
    return inquiry.heights(supply, unload, lower, infeed, ceiling=False).obstruction is None


def _heights_connect_refusal(
    inquiry: Inquiry, supply: Option, unload: Option, lower: Option, infeed: float
) -> str:
    plan = inquiry.heights(supply, unload, lower, infeed, ceiling=False)
    deck = unload.equipment.heights.discharge_mm
    assert deck is not None
    if plan.obstruction == "layers":
        return (
            f"{_name(unload)} lets go at {deck.text}: too low for the stack, which would have "
            "to be split into more than two loads"
        )
    if plan.deck_for_drop_mm > deck.most:
        return (
            f"{_name(lower)} needs a drop of {plan.least_drop_mm:,.0f} mm to a filler infeed at "
            f"{infeed:,.0f} mm, so a deck at {length_text(plan.deck_for_drop_mm)}; "
            f"{_name(unload)} lets go at {deck.text}"
        )
    drop = lower.equipment.heights.drop
    most = infeed + (drop.most_mm if drop else 0.0)
    return (
        f"{_name(unload)} lets go at {deck.text}; {_name(lower)} carries cans down from "
        f"{most:,.0f} mm at the most to a filler infeed at {infeed:,.0f} mm"
    )


def _frame_under_ceiling(
    inquiry: Inquiry, supply: Option, unload: Option, lower: Option, infeed: float
) -> bool:
    if not _heights_connect(inquiry, supply, unload, lower, infeed):
        return True  # another rule's matter
    return inquiry.heights(supply, unload, lower, infeed, ceiling=True).obstruction is None


def _frame_under_ceiling_refusal(
    inquiry: Inquiry, supply: Option, unload: Option, lower: Option, infeed: float
) -> str:
    plan = inquiry.heights(supply, unload, lower, infeed, ceiling=True)
    return (
        f"{_name(unload)} with {_name(lower)} needs a ceiling of at least "
        f"{length_text(plan.ceiling_needed_mm)}; there are {length_text(inquiry.ceiling_mm)}"
    )


def _overhead(
    inquiry: Inquiry, supply: Option, unload: Option, lower: Option, infeed: float
) -> bool:
    plan = inquiry.heights(supply, unload, lower, infeed, ceiling=False)
    return plan.obstruction is None and plan.hands_mm > inquiry.habits.overhead_mm


def _ladder(inquiry: Inquiry, supply: Option, unload: Option, lower: Option, infeed: float) -> bool:
    return inquiry.need.brief.staff.ladder_work or not _overhead(
        inquiry, supply, unload, lower, infeed
    )


def _ladder_refusal(
    inquiry: Inquiry, supply: Option, unload: Option, lower: Option, infeed: float
) -> str:
    plan = inquiry.heights(supply, unload, lower, infeed, ceiling=False)
    return (
        f"{_name(unload)} into {_name(lower)} puts the hands at {length_text(plan.hands_mm)}: "
        "ladder or platform work, which the brief does not allow"
    )


def _stack_overhead(
    inquiry: Inquiry, supply: Option, unload: Option, lower: Option, infeed: float
) -> bool:
    if not unload.has("tips-layers"):
        return True
    return supply.has("lifts-stack-overhead") or not _overhead(
        inquiry, supply, unload, lower, infeed
    )


def _stack_overhead_refusal(
    inquiry: Inquiry, supply: Option, unload: Option, lower: Option, infeed: float
) -> str:
    return f"{_name(supply)} does not raise a stack to the overhead lip of {_name(unload)}"


def _within_reach(
    inquiry: Inquiry, supply: Option, unload: Option, lower: Option, infeed: float
) -> bool:
    if not lower.has("swapped-by-hand") or len(inquiry.containers) == 1:
        return True
    plan = inquiry.heights(supply, unload, lower, infeed, ceiling=False)
    return plan.obstruction is not None or plan.deck_mm <= inquiry.habits.within_reach_mm


def _within_reach_refusal(
    inquiry: Inquiry, supply: Option, unload: Option, lower: Option, infeed: float
) -> str:
    plan = inquiry.heights(supply, unload, lower, infeed, ceiling=False)
    return (
        f"{_name(lower)} is exchanged by hand for each format; its upper end at "
        f"{length_text(plan.deck_mm)} is out of reach from the floor"
    )


def _low_level(inquiry: Inquiry, unload: Option, lower: Option) -> bool:
    return not lower.has("takes-from-low-level") or unload.has("grips-layers")


def _low_level_refusal(inquiry: Inquiry, unload: Option, lower: Option) -> str:
    return f"{_name(lower)} goes behind an unloader that lets go near the floor"


def _raised(inquiry: Inquiry, unload: Option, lower: Option) -> bool:
    return not unload.has("raised-for-rinsing") or lower.has("inverts")


def _raised_refusal(inquiry: Inquiry, unload: Option, lower: Option) -> str:
    return f"{_name(unload)} is raised to feed a rinser: with {_name(lower)} the height is wasted"


def _rinse_needed_for(inquiry: Inquiry, supply: Option) -> list[Format]:
    forms = inquiry.forms(supply)
    pairs = zip(inquiry.need.formats, forms, strict=True)
    return [fmt for fmt, form in pairs if fmt.rehandled or fmt.open_storage or form == "loose"]


def _rinse_wanted(inquiry: Inquiry, supply: Option, rinse: Option) -> bool:
    wish = inquiry.need.brief.rinse
    if rinse.equipment.medium != "none" or wish == "none-accepted":
        return True
    return wish == "auto" and not _rinse_needed_for(inquiry, supply)


def _rinse_wanted_refusal(inquiry: Inquiry, supply: Option, rinse: Option) -> str:
    if inquiry.need.brief.rinse == "required":
        return "the brief requires a rinse"
    fmt = _rinse_needed_for(inquiry, supply)[0]
    return (
        f"{fmt.container.name} was handled or stored in the open since the can plant: "
        "it must be rinsed"
    )


def _rinse_track(inquiry: Inquiry, lower: Option, rinse: Option) -> bool:
    return (rinse.equipment.medium != "none") == lower.has("inverts")


def _rinse_track_refusal(inquiry: Inquiry, lower: Option, rinse: Option) -> str:
    if lower.has("inverts"):
        return f"{_name(lower)} turns the can over to rinse it: it wants a header"
    return f"{_name(lower)} does not turn the can over: it cannot be rinsed there"


def _rail(inquiry: Inquiry, unload: Option, port: bool) -> bool:
    return not port or unload.has("steady-single-file")


def _rail_refusal(inquiry: Inquiry, unload: Option, port: bool) -> str:
    return f"a coder on an offset rail needs one steady lane; {_name(unload)} does not give it"


# --- filling side ------------------------------------------------------------------------------


def _infeed_height(inquiry: Inquiry, fill: Option, infeed: float) -> bool:
    return fill.infeed_mm is not None and abs(fill.infeed_mm - infeed) < 0.5


def _infeed_height_refusal(inquiry: Inquiry, fill: Option, infeed: float) -> str:
    return f"{_name(fill)} takes cans in at {fill.infeed_mm:,.0f} mm, not at {infeed:,.0f} mm"


def _place(inquiry: Inquiry, code: Option, port: bool) -> bool:
    return (code.equipment.place == "infeed-rail") == port


def _place_refusal(inquiry: Inquiry, code: Option, port: bool) -> str:
    where = "has its coder" if port else "has no coder"
    return f"{_name(code)}: this line {where} on an offset rail before the filler"


def _dry_code(inquiry: Inquiry, code: Option, dry: Option) -> bool:
    return code.equipment.place != "after-dryer" or dry.has("blows-dry")


def _dry_code_refusal(inquiry: Inquiry, code: Option, dry: Option) -> str:
    return f"{_name(code)} prints on a dry can; {_name(dry)} leaves it wet"


def _dry_label(inquiry: Inquiry, label: Option, dry: Option) -> bool:
    return not label.has("needs-dry-cans") or dry.has("blows-dry")


def _dry_label_refusal(inquiry: Inquiry, label: Option, dry: Option) -> str:
    return f"{_name(label)} works on a dry can; {_name(dry)} leaves it wet"


def _leaves_dry(inquiry: Inquiry, dry: Option, port: bool) -> bool:
    return dry.has("blows-dry") == port


def _leaves_dry_refusal(inquiry: Inquiry, dry: Option, port: bool) -> str:
    return f"{_name(dry)} leaves cans {'wet' if port else 'dry'}"


# --- packing side ------------------------------------------------------------------------------


def _dry_pack(inquiry: Inquiry, pack: Option, port: bool) -> bool:
    return port or not pack.has("needs-dry-cans")


def _dry_pack_refusal(inquiry: Inquiry, pack: Option, port: bool) -> str:
    return f"{_name(pack)} handles board that wet cans would soften: it wants a powered dryer"


def _steady_feed(inquiry: Inquiry, gather: Option, pack: Option) -> bool:
    return not pack.has("needs-steady-feed") or gather.has("evens-flow")


def _steady_feed_refusal(inquiry: Inquiry, gather: Option, pack: Option) -> str:
    return f"{_name(pack)} wants an even feed from an accumulation; {_name(gather)} gives none"


def _automatic_wrap(inquiry: Inquiry, palletize: Option, wrap: Option) -> bool:
    return not wrap.has("needs-stacked-pallets") or palletize.has("stacks-cases")


def _automatic_wrap_refusal(inquiry: Inquiry, palletize: Option, wrap: Option) -> str:
    return f"{_name(wrap)} goes behind a machine that stacks; {_name(palletize)} is done by hand"


_HEIGHTS = ("supply", "unload", "lower", "infeed")

RULES: tuple[Rule, ...] = (
    Rule("container-fits", EACH, "formats", _fits, _fits_refusal, "the class's sizes"),
    Rule("mobility", EACH, "mobility", _mobile, _mobile_refusal, COMMON),
    Rule("closing", ("fill",), "formats", _closes, _closes_refusal, COMMON),
    Rule("speed", EACH, "speed", _fast_enough, _fast_enough_refusal, "the class's speed"),
    Rule("carbonation", ("fill",), "product.carbonation", _carbonation, _carbonation_refusal,
         "the class's range"),
    Rule("heat-treatment", ("pasteurize",), "product.heat_treatment", _treatment,
         _treatment_refusal, CLIENT),
    Rule("nitrogen", ("dose",), "product.carbonation", _nitrogen, _nitrogen_refusal, COMMON),
    Rule("label", ("label",), "formats.label", _label, _label_refusal, CLIENT),
    Rule("three-phase", EACH, "site.power", _phases, _phases_refusal, "the class's connection"),
    Rule("door", EACH, "site.door", _passes_door, _passes_door_refusal, GEOMETRY),
    Rule("machine-under-ceiling", EACH, "site.ceiling", _under_ceiling, _under_ceiling_refusal,
         GEOMETRY),
    Rule("machine-in-room", EACH, "site.length", _in_room, _in_room_refusal, GEOMETRY),
    Rule("excluded", EACH, "exclude", _allowed, _allowed_refusal, CLIENT),
    Rule("required", EACH, "require", _insisted, _insisted_refusal, CLIENT),
    Rule("supply-form", ("supply",), "formats.supply", _supply_form, _supply_form_refusal, CLIENT),
    Rule("format-count", ("lower",), "formats", _format_count, _format_count_refusal, COMMON),
    Rule("unloader-takes-supply", ("supply", "unload"), "formats.supply", _takes_supply,
         _takes_supply_refusal, COMMON),
    Rule("level-supply", ("supply", "unload"), None, _level_supply, _level_supply_refusal, COMMON),
    Rule("idle-lift", ("supply", "unload"), None, _idle_lift, _idle_lift_refusal, COMMON),
    Rule("guarding", ("unload", "guard"), None, _guarded, _guarded_refusal, COMMON),
    Rule("heights-connect", _HEIGHTS, None, _heights_connect, _heights_connect_refusal, GEOMETRY),
    Rule("frame-under-ceiling", _HEIGHTS, "site.ceiling", _frame_under_ceiling,
         _frame_under_ceiling_refusal, GEOMETRY),
    Rule("ladder-work", _HEIGHTS, "staff.ladder_work", _ladder, _ladder_refusal,
         "NIOSH 94-110: no lifting above 175 cm"),
    Rule("stack-to-the-lip", _HEIGHTS, None, _stack_overhead, _stack_overhead_refusal, COMMON),
    Rule("swapped-within-reach", _HEIGHTS, None, _within_reach, _within_reach_refusal, COMMON),
    Rule("low-level", ("unload", "lower"), None, _low_level, _low_level_refusal, COMMON),
    Rule("raised-for-a-rinser", ("unload", "lower"), None, _raised, _raised_refusal, COMMON),
    Rule("rinse-wanted", ("supply", "rinse"), "rinse", _rinse_wanted, _rinse_wanted_refusal,
         COMMON),
    Rule("rinse-track", ("lower", "rinse"), None, _rinse_track, _rinse_track_refusal, COMMON),
    Rule("coder-on-rail", ("unload", "rail"), None, _rail, _rail_refusal, COMMON),
    Rule("filler-height", ("fill", "infeed"), None, _infeed_height, _infeed_height_refusal,
         GEOMETRY),
    Rule("coder-place", ("code", "rail"), None, _place, _place_refusal, COMMON),
    Rule("coder-on-dry-can", ("code", "dry"), None, _dry_code, _dry_code_refusal, COMMON),
    Rule("label-on-dry-can", ("label", "dry"), None, _dry_label, _dry_label_refusal, COMMON),
    Rule("leaves-dry", ("dry", "dry-cans"), None, _leaves_dry, _leaves_dry_refusal, COMMON),
    Rule("dry-cans-to-packer", ("pack", "dry-cans"), None, _dry_pack, _dry_pack_refusal, COMMON),
    Rule("steady-feed", ("gather", "pack"), None, _steady_feed, _steady_feed_refusal, COMMON),
    Rule("automatic-wrap", ("palletize", "wrap"), None, _automatic_wrap, _automatic_wrap_refusal,
         COMMON),
)  # fmt: skip
"""The rules of the trade and of the brief, in the order in which they are tried."""
