"""Machine interference: a few machines that share a few attendants make each other wait.

Attendants of a line have other work too: pallets, magazines, checks. A machine that stops waits for
the piece of it that is in hand, and for the machines that stopped before.

The finite-source queue M/M/c//N: each of N machines runs for an exponential time of mean U, then
needs an attendant for an exponential time of mean T; c attendants serve first come, first served.

Peck and Hazelwood's notation, used in the docstrings: service factor X = T / (T + U); L machines
wait, H are served, J run; efficiency factor F = (J + H) / N; D is the probability that a machine
that stops must wait; W = L (T + U) / (N - L) is the mean wait. The names in the code are words.

References
----------
.. [1] L. G. Peck and R. N. Hazelwood, Finite Queuing Tables, Wiley, New York, 1958.
.. [2] A. Cobham, "Priority assignment in waiting line problems", Operations Research 2 (1954): what
   is urgent waits for the rest of the service in hand, whatever that is (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from lineconfig.assess.inputs import require_positive

PIECE_MIN = 0.5
"""Longest stretch of a task after which a person looks up for what is urgent [min]; from memory."""
WALKING_M_PER_MIN = 80.0
"""Three miles an hour, the usual picture of a normal pace in time study; from memory."""
_NEVER_PER_MIN = 1e-12
"""One stop in two million years: none."""


@dataclass(frozen=True, slots=True)
class Interference:
    """Steady state of N machines served by c attendants."""

    state_probabilities: tuple[float, ...]
    """Probability that 0, 1, ... N machines are stopped. [-]"""
    service_factor: float
    """X: share of a machine's own cycle that is service. [-]"""
    running: float
    """J: mean number of machines that run. [machines]"""
    served: float
    """H: mean number of machines that are being served. [machines]"""
    waiting: float
    """L (Lq elsewhere): mean number of machines that wait for an attendant. [machines]"""
    wait_min: float
    """W (Wq elsewhere): mean wait of a machine that stops, zero waits included. [min]"""
    waiting_probability: float
    """D: probability that a machine that stops finds every attendant busy. [-]"""
    efficiency: float
    """F: share of the machines that are not waiting. [-]"""
    attendant_utilisation: float
    """Share of the attendants' time that is service. [-]"""

    @property
    def stopped(self) -> float:
        """Mean number of machines stopped, waiting or served. [machines]"""
        return self.waiting + self.served


def _state_probabilities(machines: int, attendants: int, ratio: float) -> list[float]:
    # In logarithms: the bare products overflow for large populations and long services.
    logs = [0.0]
    for stopped in range(1, machines + 1):
        step = (machines - stopped + 1) * ratio / min(stopped, attendants)
        logs.append(logs[-1] + math.log(step))
    peak = max(logs)
    weights = [math.exp(value - peak) for value in logs]
    total = math.fsum(weights)
    return [weight / total for weight in weights]


def machine_interference(
    machines: int, attendants: int, *, run_min: float, service_min: float
) -> Interference:
    """Steady state of the finite-source queue M/M/c//N.

    Parameters
    ----------
    machines : int
        N, machines minded together. [machines]
    attendants : int
        c (M in the tables), people who mind them. [people]
    run_min : float
        U, mean running time between two calls of one machine. [min]
    service_min : float
        T, mean time of one service. [min]

    Returns
    -------
    Interference
        Probabilities, mean numbers, mean wait, efficiency and utilisation.

    Raises
    ------
    ValueError
        If an argument is not above zero.

    References
    ----------
    [1]_ of the module. State probabilities by p(n) / p(n-1) = (N - n + 1) T / (min(n, c) U); a
    machine that stops sees the queue of the N - 1 others (arrival theorem of closed queues).

    Examples
    --------
    >>> round(machine_interference(5, 1, run_min=70, service_min=10).efficiency, 3)
    0.92
    """
    require_positive(
        machines=machines, attendants=attendants, run_min=run_min, service_min=service_min
    )
    ratio = service_min / run_min
    states = _state_probabilities(machines, attendants, ratio)
    others = _state_probabilities(machines - 1, attendants, ratio)
    served = math.fsum(min(n, attendants) * p for n, p in enumerate(states))
    waiting = math.fsum((n - attendants) * p for n, p in enumerate(states) if n > attendants)
    running = math.fsum((machines - n) * p for n, p in enumerate(states))
    return Interference(
        state_probabilities=tuple(states),
        service_factor=service_min / (service_min + run_min),
        running=running,
        served=served,
        waiting=waiting,
        # Little's law: machines are served at the rate served / service_min.
        wait_min=waiting * service_min / served,
        waiting_probability=math.fsum(others[attendants:]),
        efficiency=(running + served) / machines,
        attendant_utilisation=served / attendants,
    )


@dataclass(frozen=True, slots=True)
class Calls:
    """What one machine asks of its attendant when it stops."""

    per_min: float
    """Stops per minute of running [1/min]."""
    service_min: float
    """Mean minutes to clear one [min]."""


@dataclass(frozen=True, slots=True)
class OtherWork:
    """Work of the attendant at machines that run on meanwhile."""

    share: float
    """Share of the attendant's time, 0 to 1."""
    piece_min: float
    """Longest stretch after which the attendant looks up [min]."""
    minutes: float
    """How long it takes in all [min]."""

    @property
    def rest_min(self) -> float:
        """Mean rest of the piece in hand, seen at a random moment of this work [min]."""
        whole, piece = divmod(self.minutes, self.piece_min)
        return (whole * self.piece_min**2 + piece**2) / 2 / self.minutes


def stopped_wait_min(calls: Sequence[Calls], others: Sequence[OtherWork] = ()) -> float:
    """Mean wait of a machine that stops for its one attendant, zero waits included [min].

    Machines of different kinds count as so many alike, with the same calls in all and the same mean
    service. Stops are taken before other work, which is left after the piece in hand.

    Parameters
    ----------
    calls : by machine [1/min, min]
    others : the attendant's other work [share, min, min]

    Returns 0 where no machine stops.

    Raises ValueError where a figure is not above zero.

    References: [1]_ for the wait behind other machines, [2]_ for the piece in hand.
    """
    stopping = [call for call in calls if call.per_min > _NEVER_PER_MIN]
    if not stopping:
        return 0.0
    often = math.fsum(call.per_min for call in stopping)
    service_min = math.fsum(call.per_min * call.service_min for call in stopping) / often
    found = machine_interference(
        len(stopping), 1, run_min=len(stopping) / often, service_min=service_min
    )
    clearing = found.attendant_utilisation
    busy = math.fsum(work.share for work in others)
    # A stopped machine brings no other work, so that nobody is busy for more than the whole time.
    shrink = min(1.0, (1 - clearing) / busy) if busy else 0.0
    in_hand_min = math.fsum(work.share * work.rest_min for work in others) * shrink
    return found.wait_min + in_hand_min / (1 - clearing)
