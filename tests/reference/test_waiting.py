"""Machine interference against the finite queuing tables and textbook examples."""

import pytest

from lineconfig.assess.waiting import Calls, OtherWork, machine_interference, stopped_wait_min

# Peck and Hazelwood, Finite Queuing Tables, N = 5 (coursehero.com/file/8871054): X, M, D, F.
TABLE = [
    (0.012, 1, 0.048, 0.999),
    (0.025, 1, 0.100, 0.997),
    (0.050, 1, 0.198, 0.989),
    (0.060, 2, 0.020, 0.999),
    (0.060, 1, 0.237, 0.983),
    (0.070, 2, 0.027, 0.999),
    (0.070, 1, 0.275, 0.977),
    (0.080, 2, 0.035, 0.998),
    (0.080, 1, 0.313, 0.969),
    (0.090, 2, 0.044, 0.998),
    (0.090, 1, 0.350, 0.960),
    (0.100, 2, 0.054, 0.997),
    (0.100, 1, 0.386, 0.950),
]


@pytest.mark.parametrize(("factor", "attendants", "must_wait", "efficiency"), TABLE)
def test_finite_queuing_tables(factor, attendants, must_wait, efficiency):
    found = machine_interference(5, attendants, run_min=1 - factor, service_min=factor)
    assert found.service_factor == pytest.approx(factor)
    # Half a unit of the last printed digit, and the tables' own rounding.
    assert found.waiting_probability == pytest.approx(must_wait, abs=0.0011)
    assert found.efficiency == pytest.approx(efficiency, abs=0.0011)


def test_one_operator_with_five_machines():
    # Stevenson, Operations Management, 14th edition, Example 18-10 (fliphtml5.com/cviyu/vkrs):
    # N 5, T 10, U 70 min; computed there from F rounded to .920.
    found = machine_interference(5, 1, run_min=70, service_min=10)
    assert found.efficiency == pytest.approx(0.920, abs=0.001)
    assert found.waiting == pytest.approx(0.40, abs=0.005)
    assert found.running == pytest.approx(4.025, abs=0.005)
    assert found.wait_min == pytest.approx(6.957, abs=0.05)
    assert found.wait_min + 10 == pytest.approx(16.957, abs=0.05)
    # The example prints D = .575; that is the share of time the operator is busy. The probability
    # that a stopping machine waits, which the tables list as D, is lower.
    assert found.attendant_utilisation == pytest.approx(0.575, abs=0.001)
    assert found.waiting_probability < 0.5


@pytest.mark.parametrize(("technicians", "running"), [(1, 4.36), (2, 4.54)])
def test_five_printers(technicians, running):
    # Heizer and Render: five printers, U 20 h, T 2 h (coursehero.com/file/8871054); J from memory.
    found = machine_interference(5, technicians, run_min=20 * 60, service_min=2 * 60)
    assert found.running == pytest.approx(running, abs=0.006)


def test_three_machines_two_repairers():
    # Ross, Introduction to Probability Models: up 10, repair 8 (quesba.com/699041); the answers
    # 1068/761 machines down and both repairers busy 336/761 of the time are from memory.
    found = machine_interference(3, 2, run_min=10, service_min=8)
    assert found.stopped == pytest.approx(1068 / 761)
    assert sum(found.state_probabilities[2:]) == pytest.approx(336 / 761)


def test_one_mechanic_two_machines():
    # Problem tutorsglobe.com 52259413, rates 1/12 and 1/8 a hour, by hand: weights 1, 4/3, 8/9.
    found = machine_interference(2, 1, run_min=12, service_min=8)
    assert found.state_probabilities == pytest.approx((9 / 29, 12 / 29, 8 / 29))
    assert found.attendant_utilisation == pytest.approx(20 / 29)
    assert found.stopped == pytest.approx(28 / 29)


def test_one_mechanic_two_faster_failing_machines():
    # The same by hand with 10 h and 8 h: weights 1, 1.6, 1.28.
    found = machine_interference(2, 1, run_min=10, service_min=8)
    assert found.state_probabilities[0] == pytest.approx(0.2577, abs=5e-5)
    assert found.attendant_utilisation == pytest.approx(0.7423, abs=5e-5)
    assert found.running / 2 == pytest.approx(0.4639, abs=5e-5)


def test_no_attendant_short_means_plain_availability():
    # With an attendant each, a machine runs U / (T + U) of the time (renewal theory, textbook).
    found = machine_interference(4, 4, run_min=45, service_min=5)
    assert found.running == pytest.approx(4 * 0.9)
    assert found.waiting == 0.0
    assert found.waiting_probability == 0.0


def test_a_post_of_five_machines_alike():
    # Stevenson, Operations Management, 14th edition, Example 18-10 (fliphtml5.com/cviyu/vkrs): five
    # machines run 70 min and take 10: W = 6.957 min, from L rounded to .40.
    assert stopped_wait_min([Calls(1 / 70, 10)] * 5) == pytest.approx(6.957, rel=0.01)


def test_many_rare_calls_with_other_work_as_the_priority_queue():
    # Cobham 1954 (from memory): W = sum of lambda E[S^2] / 2 of all work / (1 - rho of the urgent).
    # Stops 0.5 a minute of 0.6 min, exponential: 0.5 x 2 x 0.36 / 2 = 0.18; other work 40 % of the
    # time in pieces of 0.5 min: 0.4 x 0.25 = 0.10; rho = 0.3: 0.28 / 0.7 = 0.4 min by hand.
    many = 2_000
    found = stopped_wait_min([Calls(0.5 / many, 0.6)] * many, [OtherWork(0.4, 0.5, 6.0)])
    assert found == pytest.approx(0.4, rel=0.005)


def test_the_rest_of_what_is_in_hand():
    # Seen at a random moment, the rest of a fixed time is half of it (arithmetic): 0.3 min: 0.15;
    # 0.8 min in pieces of 0.5 and 0.3: (0.5 x 0.25 + 0.3 x 0.15) / 0.8.
    assert OtherWork(0.1, 0.5, 0.3).rest_min == pytest.approx(0.15)
    assert OtherWork(0.1, 0.5, 0.8).rest_min == pytest.approx(0.2125)
