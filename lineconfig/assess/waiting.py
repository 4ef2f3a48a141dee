"""Machine interference: a few machines that share a few attendants make each other wait.

The finite-source queue M/M/c//N: each of N machines runs for an exponential time of mean U, then
needs an attendant for an exponential time of mean T; c attendants serve first come, first served.

Peck and Hazelwood's notation, used in the docstrings: service factor X = T / (T + U); L machines
wait, H are served, J run; efficiency factor F = (J + H) / N; D is the probability that a machine
that stops must wait; W = L (T + U) / (N - L) is the mean wait. The names in the code are words.

References
----------
.. [1] L. G. Peck and R. N. Hazelwood, Finite Queuing Tables, Wiley, New York, 1958.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from lineconfig.assess.inputs import require_positive


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
