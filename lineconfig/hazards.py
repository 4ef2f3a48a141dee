"""Cautions: what can hurt somebody or spoil the product in one layout, worst first.

They are the cautions of its classes and those that follow from its figures: lifts, heights,
guards, rinse, pressure and heat. Each is said once, and what belongs to one place is said together.
Nothing here clears a layout: local codes and licensed practice decide.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from lineconfig.assess.cautions import Caution
from lineconfig.choose.inquiry import Inquiry
from lineconfig.choose.rules import length_text
from lineconfig.containers import Container
from lineconfig.findings.lifts import PostFinding
from lineconfig.findings.whole import Findings, findings_of
from lineconfig.harm import Topic, concerns, harm_of
from lineconfig.layout import Layout
from lineconfig.sentences import lowered

LOCAL_CODES = Caution(
    "local-codes",
    "Figures and cautions are a planner's aid: local codes, the makers' manuals and licensed "
    "practice decide on guarding, electrical work, gases, egress and structure.",
    "common practice",
)

_HEIGHT_WORDS = {
    "platform": "",
    "ladder-work": "A platform with guardrails serves better than a ladder: have it checked.",
    "overhead-reach": "",
    "reach-above-limit": "",
    "step-or-platform": "Nothing is carried on a ladder or step, and one hand stays on it.",
    "fall-protection": (
        "From 4 ft (1.2 m) an open side calls for fall protection: a guardrail with its top edge "
        "at 42 in, give or take 3 in (107 +/- 8 cm), a net, or a personal system."
    ),
    "fall-onto-equipment": (
        "A fall of less than 4 ft (1.2 m) onto dangerous equipment calls for a guardrail or a "
        "travel restraint as well, unless that equipment is covered or guarded."
    ),
    "platform-handrail": (
        "A mobile stand with its top step at 4 ft (1.2 m) or higher has handrails."
    ),
    "platform-guardrail": "A mobile stand higher than 10 ft (3.0 m) has guardrails and toeboards.",
}
"""Cautions about one place's height that are said together, and what each adds to the first."""
_DEFER = "Local codes and licensed practice decide what the site must provide."

_LIFTING = ("lifting-no-limit", "lifting-high", "lifting-raised")
_LIFTING_BASIS = "NIOSH 94-110 (2021), section 1.4"
_NO_LIMIT, _HIGH, _RAISED = _LIFTING
MANY_AT_RISK = 3.0
"""Lifting index above which many workers are at a raised risk."""


@dataclass(frozen=True, slots=True)
class LayoutCaution:
    """A caution of one layout, with what it weighs and where it belongs."""

    caution: Caution
    own: bool
    """Whether it follows from this layout's figures, rather than from a kind of machine."""
    stations: tuple[int, ...]
    """Indices of the stations that it is about; none where it is about the whole line."""

    @property
    def weight(self) -> int:
        """The least weighs most."""
        return harm_of(self.caution.code)[0]

    @property
    def topic(self) -> Topic:
        """What it is about."""
        return harm_of(self.caution.code)[1]


def cautions_for(
    inquiry: Inquiry, layout: Layout, findings: Findings | None = None
) -> tuple[Caution, ...]:
    """Every caution of a layout, the general one first, then the worst first, each once.

    `findings` are those of the layout, where they have been worked out already.
    """
    return (LOCAL_CODES, *(item.caution for item in layout_cautions(inquiry, layout, findings)))


def layout_cautions(
    inquiry: Inquiry, layout: Layout, findings: Findings | None = None
) -> tuple[LayoutCaution, ...]:
    """The cautions of a layout but the general one: what its figures call for, then its kinds."""
    findings = findings or findings_of(inquiry, layout)
    own = _own(inquiry, layout, findings)
    own.sort(key=lambda item: item.weight)
    generic = _generic(inquiry, layout, own, lifts=bool(findings.lifting.lifts))
    generic.sort(key=lambda item: item.weight)
    return (*own, *generic)


# --- from this layout's figures ----------------------------------------------------------------


def _own(inquiry: Inquiry, layout: Layout, findings: Findings) -> list[LayoutCaution]:
    plain = [
        LayoutCaution(caution, True, _named(layout, caution))
        for caution in (
            *findings.cautions,
            *_from_heights(inquiry, layout),
            *_from_supply(inquiry, layout),
        )
        if caution.code not in _LIFTING
    ]
    plain += _lifting(findings.lifting.posts)
    return _heights_together(layout, plain)


def _named(layout: Layout, caution: Caution) -> tuple[int, ...]:
    """The station whose name a caution begins with."""
    names = [station.option.equipment.name for station in layout.stations]
    begun = [place for place, name in enumerate(names) if caution.text.startswith(name)]
    return (max(begun, key=lambda place: len(names[place])),) if begun else ()


def _heights_together(layout: Layout, items: Sequence[LayoutCaution]) -> list[LayoutCaution]:
    """The same cautions, with those about the height of one station's work as one."""
    found: list[LayoutCaution] = []
    by_station: dict[tuple[int, ...], list[LayoutCaution]] = {}
    for item in items:
        if item.caution.code not in _HEIGHT_WORDS:
            found.append(item)
            continue
        together = by_station.setdefault(item.stations, [])
        if not together:
            found.append(item)  # holds the place until all are known
        together.append(item)
    return [_one_of_heights(by_station.get(item.stations, []), item) for item in found]


def _one_of_heights(together: list[LayoutCaution], item: LayoutCaution) -> LayoutCaution:
    if item not in together or len(together) == 1:
        return item
    codes = [each.caution.code for each in together]
    first = min(together, key=lambda each: list(_HEIGHT_WORDS).index(each.caution.code)).caution
    more = [words for code, words in _HEIGHT_WORDS.items() if code in codes and words]
    opening = first.text.removesuffix(_DEFER).rstrip()
    if first.code != "platform":
        more = [words for words in more if words != _HEIGHT_WORDS[first.code]]
    text = " ".join([opening, *more, _DEFER])
    bases = dict.fromkeys(each.caution.basis for each in together)
    return LayoutCaution(Caution(first.code, text, "; ".join(bases)), True, item.stations)


def _lifting(posts: Iterable[PostFinding]) -> list[LayoutCaution]:
    """One caution for all people whose lifts together pass the same limit."""
    found: dict[str, list[PostFinding]] = {}
    for post in posts:
        index = post.composite_index
        if index > 1.0:
            code = (
                _NO_LIMIT if index == float("inf") else _HIGH if index > MANY_AT_RISK else _RAISED
            )
            found.setdefault(code, []).append(post)
    return [
        LayoutCaution(
            Caution(code, _lifting_text(code, people), _LIFTING_BASIS),
            True,
            tuple(sorted({place for post in people for place in post.stations})),
        )
        for code, people in found.items()
    ]


def _lifting_text(code: str, people: Sequence[PostFinding]) -> str:
    def who(post: PostFinding) -> str:
        hardest = lowered(post.hardest)
        index = "" if code == _NO_LIMIT else f" at {post.composite_index:.1f}"
        return f"person {post.post + 1}{index} (hardest: {hardest})"

    named = ", ".join(who(post) for post in sorted(people, key=lambda post: post.post))
    if code == _NO_LIMIT:
        return (
            "The NIOSH lifting equation recommends no weight at all for some lifts of "
            f"{named}: change the reach, the height or the pace."
        )
    risk = "many" if code == _HIGH else "some"
    return (
        f"Lifting index of all lifts together: {named}. That is a raised risk of low back pain for "
        f"{risk} workers: bring the load nearer, raise or lower the shelf, or lift less often."
    )


def _from_heights(inquiry: Inquiry, layout: Layout) -> list[Caution]:
    plan, unload = layout.heights, layout.station("unload").option.equipment
    cautions = []
    if plan.hands_mm > inquiry.habits.overhead_mm:
        cautions.append(
            Caution(
                "ladder-work",
                f"{unload.name}: hands reach {length_text(plan.hands_mm)}. Plan a platform with "
                "guardrails rather than a ladder, and have it checked against local codes.",
                "NIOSH 94-110: no lifting above 175 cm",
            )
        )
    split = [
        f"{inquiry.containers[index].name} {plan.layers_at_once[index]} layers, {loads} loads"
        for index, loads in enumerate(plan.loads_per_pallet)
        if loads > 1
    ]
    if split:
        text = (
            f"{unload.name} takes fewer layers at once than a delivered stack has, so each is "
            f"split: {'; '.join(split)}. The upper layers come off a stack up to "
            f"{length_text(max(plan.top_frame_mm))} high: from a platform or with a lifting aid "
            "where that is above the shoulder."
        )
        cautions.append(Caution("split-pallets", text, "geometry"))
    return cautions


def _from_supply(inquiry: Inquiry, layout: Layout) -> list[Caution]:
    if "no-rinse" not in layout.classes:
        return []
    handled = [fmt for fmt in inquiry.need.formats if fmt.rehandled or fmt.open_storage]
    text = (
        "Rinsing is needed here: the cans were handled or stored in the open since the can plant."
        if handled
        else "The empties are not rinsed: rinsing is advised nearly always."
    )
    own = inquiry.catalog.classes["no-rinse"].cautions
    bases = dict.fromkeys(["common practice", *(item.basis for item in own)])
    return [
        Caution("rinse-advised", " ".join([text, *(item.text for item in own)]), "; ".join(bases))
    ]


# --- from the kinds of machines ------------------------------------------------------------------


def _generic(
    inquiry: Inquiry, layout: Layout, own: Sequence[LayoutCaution], *, lifts: bool
) -> list[LayoutCaution]:
    """The classes' own cautions, less what the layout's figures say already."""
    said = {item.caution.code for item in own}
    if lifts:
        said.add("manual-lifting")
    if "platform" in said or "ladder-work" in said:
        said |= {"ladder-work", "overhead-reach"}
    if any(code.startswith("noise-") for code in said):
        said.add("noise")
    if "rinse-advised" in said:
        said.add("no-rinse")
    containers: tuple[Container, ...] = inquiry.containers
    found: dict[tuple[str, str], tuple[Caution, list[int]]] = {}
    places: dict[str, list[int]] = {class_id: [] for class_id in layout.classes}
    for place, station in enumerate(layout.stations):
        places.setdefault(station.option.id, []).append(place)
    for class_id, at_class in places.items():
        for item in inquiry.catalog.classes[class_id].cautions:
            if item.code in said or not concerns(item.code, containers):
                continue
            caution = Caution(item.code, item.text, item.basis)
            _, at = found.setdefault((item.code, item.text), (caution, []))
            at += at_class
    return [LayoutCaution(caution, False, tuple(sorted(at))) for caution, at in found.values()]
