"""Properties of machine interference."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.assess.waiting import Calls, OtherWork, machine_interference, stopped_wait_min

machine_counts = st.integers(1, 40)
attendant_counts = st.integers(1, 12)
run_times = st.floats(0.5, 500.0)
service_times = st.floats(0.05, 60.0)


@given(machine_counts, attendant_counts, run_times, service_times)
def test_the_tables_own_identities_hold(machines, attendants, run_min, service_min):
    found = machine_interference(machines, attendants, run_min=run_min, service_min=service_min)
    factor, efficiency = found.service_factor, found.efficiency
    assert sum(found.state_probabilities) == pytest.approx(1.0)
    assert found.running + found.served + found.waiting == pytest.approx(machines)
    # Peck and Hazelwood: L = N (1 - F), J = N F (1 - X), H = F N X, W = L (T + U) / (N - L).
    assert found.waiting == pytest.approx(machines * (1 - efficiency), abs=1e-9)
    assert found.running == pytest.approx(machines * efficiency * (1 - factor))
    assert found.served == pytest.approx(efficiency * machines * factor)
    wait = found.waiting * (service_min + run_min) / (machines - found.waiting)
    assert found.wait_min == pytest.approx(wait, abs=1e-9)


@given(machine_counts, attendant_counts, run_times, service_times)
def test_mean_wait_follows_from_what_a_stopping_machine_finds(
    machines, attendants, run_min, service_min
):
    # A machine that finds n >= c others stopped waits for n - c + 1 services at c times the pace.
    found = machine_interference(machines, attendants, run_min=run_min, service_min=service_min)
    if machines == 1:
        assert found.wait_min == 0.0
        return
    others = machine_interference(
        machines - 1, attendants, run_min=run_min, service_min=service_min
    ).state_probabilities
    queue = [(n - attendants + 1) * p for n, p in enumerate(others) if n >= attendants]
    assert found.wait_min == pytest.approx(sum(queue) * service_min / attendants, abs=1e-9)


@given(machine_counts, attendant_counts, run_times, service_times)
def test_one_more_attendant_never_hurts_and_one_more_machine_never_helps(
    machines, attendants, run_min, service_min
):
    times = {"run_min": run_min, "service_min": service_min}
    base = machine_interference(machines, attendants, **times)
    staffed = machine_interference(machines, attendants + 1, **times)
    loaded = machine_interference(machines + 1, attendants, **times)
    assert staffed.efficiency >= base.efficiency - 1e-12
    assert staffed.waiting_probability <= base.waiting_probability + 1e-12
    assert loaded.efficiency <= base.efficiency + 1e-12
    assert loaded.running >= base.running - 1e-9


@given(machine_counts, attendant_counts, run_times, service_times, st.floats(0.01, 100.0))
def test_only_the_ratio_of_the_times_matters(machines, attendants, run_min, service_min, scale):
    base = machine_interference(machines, attendants, run_min=run_min, service_min=service_min)
    scaled = machine_interference(
        machines, attendants, run_min=scale * run_min, service_min=scale * service_min
    )
    assert scaled.efficiency == pytest.approx(base.efficiency)
    assert scaled.wait_min == pytest.approx(scale * base.wait_min, abs=1e-9)


def test_large_populations_do_not_overflow():
    found = machine_interference(5000, 2, run_min=1.0, service_min=100.0)
    assert found.attendant_utilisation == pytest.approx(1.0)
    assert found.running == pytest.approx(0.02)


@pytest.mark.parametrize(
    "bad",
    [
        {"machines": 0},
        {"attendants": 0},
        {"run_min": 0.0},
        {"service_min": -1.0},
    ],
)
def test_senseless_input_is_refused_by_name(bad):
    good = {"machines": 3, "attendants": 1, "run_min": 30.0, "service_min": 2.0}
    with pytest.raises(ValueError, match=next(iter(bad))):
        machine_interference(**good | bad)


calls = st.lists(st.builds(Calls, st.floats(0.0, 0.5), st.floats(0.05, 5.0)), max_size=6)
others = st.lists(
    st.builds(OtherWork, st.floats(0.0, 0.4), st.floats(0.1, 1.0), st.floats(0.05, 12.0)),
    max_size=5,
)


@given(calls, others, st.floats(0.01, 0.3))
def test_more_of_other_work_never_shortens_a_wait(stopping, work, share):
    before = stopped_wait_min(stopping, work)
    assert before >= 0
    more = [OtherWork(one.share + share, one.piece_min, one.minutes) for one in work]
    if sum(one.share for one in more) + sum(c.per_min * c.service_min for c in stopping) <= 1:
        assert stopped_wait_min(stopping, more) >= before - 1e-12


@given(calls, st.integers(0, 5), st.floats(1.0, 4.0))
def test_more_frequent_stops_never_shorten_a_wait(stopping, which, factor):
    if which >= len(stopping):
        return
    alike = [Calls(stopping[which].per_min, stopping[which].service_min)] * len(stopping)
    often = [Calls(one.per_min * factor, one.service_min) for one in alike]
    assert stopped_wait_min(often) >= stopped_wait_min(alike) - 1e-12


@given(st.floats(0.1, 1.0), st.floats(0.05, 12.0))
def test_no_rest_is_longer_than_half_a_piece(piece_min, minutes):
    rest = OtherWork(0.5, piece_min, minutes).rest_min
    assert 0 < rest <= min(piece_min, minutes) / 2 * (1 + 1e-9)


def test_nothing_that_stops_never_waits():
    assert stopped_wait_min([], [OtherWork(0.9, 0.5, 3.0)]) == 0
    assert stopped_wait_min([Calls(0.0, 1.0)]) == 0
    # Nobody else, and nothing else to do.
    assert stopped_wait_min([Calls(0.2, 1.0)]) == 0
