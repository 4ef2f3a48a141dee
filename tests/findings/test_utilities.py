"""Utilities of whole lines, added up by hand from the catalogue."""

from __future__ import annotations

import math
from typing import Any

import pytest

from lineconfig.findings.utilities import utilities_of, utility_cautions
from tests.findings.lines import line, shipped

SITE: dict[str, Any] = {"ceiling": "7 m", "power": {"phases": 3, "volts": 480, "amperes": 200}}


def test_stations_add_up_to_the_line() -> None:
    study, layout = line(site=SITE)
    found = utilities_of(study.inquiry, layout)
    assert found.connected_kw == pytest.approx(layout.utilities.power_kw)
    assert found.water_l_min == pytest.approx(layout.utilities.water_l_min)
    assert found.air_l_min == pytest.approx(layout.utilities.air_l_min)
    assert sum(row.power_kw for row in found.stations) == pytest.approx(found.connected_kw)
    assert found.electrical is not None and layout.utilities.amperes is not None
    # The limit of the search and this table name the same current.
    assert found.electrical.line_a == pytest.approx(layout.utilities.amperes)


def test_the_current_by_hand() -> None:
    study, layout = line(site=SITE)
    found = utilities_of(study.inquiry, layout)
    habits = shipped().economics.habits
    # P = sqrt(3) V I cos phi, any handbook.
    by_hand = found.connected_kw * 1000 * habits.simultaneity / habits.power_factor
    assert found.electrical is not None
    assert found.electrical.line_a == pytest.approx(by_hand / (math.sqrt(3) * 480))
    assert found.at_once_kva == pytest.approx(by_hand / 1000)


def test_a_compressor_comes_with_the_line_where_the_site_has_no_air() -> None:
    study, layout = line(site=SITE)
    found = utilities_of(study.inquiry, layout)
    compressor, electrical = found.compressor, found.electrical
    assert compressor is not None and electrical is not None and not compressor.on_site
    assert compressor.drawn_kw == pytest.approx(7.0 * compressor.air_l_min / 1000)
    assert compressor.motor_kw >= compressor.drawn_kw
    assert electrical.together_a > electrical.line_a
    on_site = line(site={**SITE, "air": "100 cfm"})
    served = utilities_of(on_site[0].inquiry, on_site[1])
    assert served.compressor is not None and served.compressor.on_site
    assert served.electrical is not None and served.electrical.compressor_a == 0.0


def test_a_compressor_that_the_site_does_not_carry_is_said() -> None:
    study, layout = line(site=SITE)
    line_a = layout.utilities.amperes
    assert line_a is not None and utility_cautions(utilities_of(study.inquiry, layout)) == []
    tight = {"phases": 3, "volts": 480, "amperes": math.ceil(line_a) + 1}
    study, layout = line(site={"ceiling": "7 m", "power": tight})
    (caution,) = utility_cautions(utilities_of(study.inquiry, layout))
    assert caution.code == "compressor-power" and "electrician" in caution.text


def test_without_a_connection_there_is_no_current() -> None:
    study, layout = line()
    found = utilities_of(study.inquiry, layout)
    assert found.electrical is None and utility_cautions(found) == []
