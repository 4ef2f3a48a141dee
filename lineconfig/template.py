"""A commented brief to start from, valid as it stands."""

from __future__ import annotations

from pathlib import Path

from lineconfig.errors import InputError, did_you_mean, shown

_TEMPLATE = """\
# A brief: what you need from a canning line. Change the values, or delete what does not matter:
# only `formats`, `site.ceiling`, and one of `speed` or `annual_cans` are needed. What you leave
# out has a default, and every answer says which defaults it used.
#
# Write quantities with their unit: 12 ft 6 in, 3.8 m, 60 cpm, 32 USD/h, 8 %. Where a list of
# words stands behind a value, any of them may take its place. A line that begins with # is not
# read: take the # away to use it.
#
# Check this file with `lineconfig check FILE`; see the layouts with `lineconfig recommend FILE`.
brief: 1                            # the version of this form: leave it
name: Our first line

# What do you fill?
product:
  kind: cider                       # in your own words
  carbonation: 2.6 vol              # 0 vol for still product; vol or g/l
  fill_temperature: 2 degC          # as it reaches the filler; degC or degF
  heat_treatment: none              # none, batch or tunnel

# How fast must the line run? cpm is cans (or bottles) a minute. Leave it out, and it follows from
# `annual_cans` and the hours below.
speed: 40 cpm

# Which cans or bottles? One entry for each; `lineconfig catalog` lists the ids.
formats:
  - container: can-355-standard
    annual_cans: 600000             # a plain number; left out: what the speed makes in the hours
    # speed: 30 cpm                 # only where this format needs another speed
    # supply: full-pallet           # full-pallet, half-stack or loose; left out: what suits best
    rehandled: false                # true: sleeved, repacked or sold in small lots since the plant
    open_storage: false             # true: stored where others than your staff can reach it
    label: printed                  # printed, pre-sleeved or wrap (labelled on the line)
    # margin_per_1000: 300 USD      # what 1000 bring in before the line's own costs
  # A container that the catalogue does not have:
  # - container: {kind: two-piece-can, diameter: 66 mm, height: 122 mm, volume: 355 ml, end: '202'}
  #   # kind: two-piece-can, threaded-can-bottle or glass-bottle
  #   # diameter and height: of the empty container; end: the end's trade size, thread or crown
  #   annual_cans: 100000

# When does the line run?
operation:
  hours_per_week: 24
  weeks_per_year: 50
  changeovers_per_week: 1           # from one format to another
  cover_days: 10                    # calendar days that stores of empties and goods last

# What is the room like? What is left out is not limited.
site:
  ceiling: 14 ft                    # the lowest clear height where the line would stand
  length: 60 ft
  width: 30 ft
  door: {width: 8 ft, height: 8 ft} # the smallest opening on the way in
  # Where it is, if that is settled: in the west or east wall (the ends of the room's length),
  # south or north; at: where it begins, from the south or the west end of that wall.
  # door: {width: 8 ft, height: 8 ft, wall: south, at: 3 ft}
  # obstacles:                      # measured from the room's south-west corner
  #   - {name: column, x: 10 ft, y: 8 ft, length: 1 ft, width: 1 ft}
  power: {phases: 3, volts: 208, amperes: 150}  # phases: 1 or 3
  water: 15 gpm                     # gpm, l/min or m3/h
  air: 40 cfm                       # free air; cfm, l/min or m3/h

# Does the line stay where it is?
mobility: fixed                     # fixed, stowed (packed away between runs) or mobile (travels)
# vehicle: {length: 16 ft, width: 7 ft, height: 7 ft}  # the bed that a mobile line travels on

# Who runs it?
staff:
  per_shift: 4                      # left out: as many as it takes
  wage: 28 USD/h                    # with what you pay on top
  ladder_work: false                # true: your people may work from a ladder

# Must the empties be rinsed?
rinse: auto                         # auto (where their history asks for it), required or
                                    # none-accepted (you accept empties that are not rinsed)

# Money
# budget: 400000 USD                # for everything to be bought; left out: not limited
horizon: 7 years                    # over which costs are counted
discount_rate: 8 %                  # what money costs you a year

# What do you have, refuse, insist on? `lineconfig catalog` lists functions and classes.
# existing:                         # equipment that you own
#   - {function: fill, speed: 40 cpm, infeed_height: 38 in}
exclude: []                         # such as [gravity-trough]; a function such as [label] too
require: []                         # such as [gripper-lowerator]

# What counts most?
prefer: life-cycle-cost             # life-cycle-cost, first-cost, people, floor or changeover

# What will change later?
# growth:
#   - year: 3
#     volume: 250 %                 # yearly number, as a share of today's
#     add_formats: [{container: can-473-standard, share: 30 %}]  # share or annual_cans
#     hours_per_week: 40            # what else is different then: hours, people, the site
#     per_shift: 4
#     site: {ceiling: 16 ft}
# scenarios:                        # how much of that may come, and how likely it is
#   - {name: as planned, share: 60 %, growth: 100 %}
#   - {name: half of it, share: 40 %, growth: 50 %}
"""


def brief_template() -> str:
    """A brief with every key explained."""
    return _TEMPLATE


def example_brief(name: str) -> str:
    """The text of a shipped example brief: `startup`.

    Raises InputError for a name that there is not.
    """
    from lineconfig.locate import examples_dir

    known = {path.stem: path for path in sorted(examples_dir().glob("*.yaml"))}
    stem = name.removesuffix(".yaml")
    if stem not in known:
        hint = did_you_mean(stem, known)
        raise InputError.single(
            f"there is no example {shown(name)}{hint} (there are {', '.join(known)})",
            file="examples",
        )
    return known[stem].read_text(encoding="utf-8")


def write_new(path: str | Path, text: str = _TEMPLATE) -> None:
    """Write a brief to a new file; an existing one is never touched.

    Raises InputError where the file exists or cannot be written.
    """
    try:
        # "x" leaves no gap between looking whether the file exists and creating it.
        with Path(path).open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
    except FileExistsError:
        raise InputError.single(
            "exists already and is left as it is: choose another name", file=str(path)
        ) from None
    except (OSError, ValueError) as error:
        reason = (getattr(error, "strerror", None) or "it is not a file name").lower()
        raise InputError.single(f"cannot be written: {reason}", file=str(path)) from None
