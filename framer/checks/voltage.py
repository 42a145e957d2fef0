"""Which voltage a rule is judged by, and what is done when it is not known."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from framer.checks.rulebook import Basis
from framer.model.line import Circuit

CLASSES_KV = (0.24, 0.48, 0.75, 2.4, 4.16, 5.0, 7.2, 7.5, 8.7, 12.47, 13.8, 15.0, 20.0, 22.0,
              22.5, 24.9, 26.0, 28.0, 34.5, 35.0, 38.0, 46.0, 50.0, 69.0, 72.5, 115.0, 138.0,
              150.0, 230.0, 345.0, 500.0)  # fmt: skip
"""Voltages between phases an unknown circuit is tried at: usual system voltages and the ends of the
bands of the two codes. Rules ask no less at a higher voltage, so the highest tried decides; a test
holds every shipped rule to that. A choice of ours, no standard."""


class Volts(Struct, frozen=True):
    """The voltages to judge by, kV, and why there is more than one or an assumption in it."""

    kv: tuple[float, ...]
    assumed: str = ""


class Wired(NamedTuple):
    """What matters of a part for its voltage: its circuit and whether it is the neutral."""

    circuit: Circuit
    neutral: bool

    @property
    def grounded(self) -> bool:
        """Whether it is a neutral that is effectively grounded, and so has no voltage."""
        return self.neutral and self.circuit.grounded_wye is True


def as_connected(
    circuits: tuple[Circuit, ...], joined: Iterable[tuple[str, str]]
) -> tuple[Circuit, ...]:
    """The circuits, each at the volts of the highest it is wired to, given pairs of ids.

    A single-phase tap has fewer volts between its own wires than the circuit it hangs on; it
    counts as that circuit. Wired to one of unknown volts, its own are not known either.

    Source: California GO 95, rule 23.4 (SU-25, 1994), ia.cpuc.ca.gov; read.
    """
    together = {circuit.id: {circuit.id} for circuit in circuits}
    for first, second in joined:
        both = together[first] | together[second]
        together.update((key, both) for key in both)
    by_id = {circuit.id: circuit for circuit in circuits}
    found = []
    for circuit in circuits:
        wired = [by_id[key] for key in sorted(together[circuit.id])]
        high = max(wired, key=lambda one: math.inf if one.kv is None else one.kv)
        if high.kv != circuit.kv:
            circuit = replace(
                circuit,
                kv=high.kv,
                kv_to_ground=high.kv_to_ground,
                grounded_wye=high.grounded_wye,
            )
        found.append(circuit)
    return tuple(found)


def tries(circuit: Circuit, up_to_kv: float) -> tuple[float, ...]:
    """Voltages between phases to try for one circuit."""
    if circuit.kv is not None:
        return (circuit.kv,)
    return (*(kv for kv in CLASSES_KV if kv < up_to_kv), up_to_kv)


def _to_ground(circuit: Circuit, kv: float) -> float:
    if circuit.kv is not None and circuit.kv_to_ground is not None:
        return circuit.kv_to_ground
    return kv / math.sqrt(3.0) if circuit.grounded_wye else kv


def assumed(circuit: Circuit, up_to_kv: float, *, ground: bool = False) -> str:
    """What is assumed of a supply circuit's voltage, with `ground` of that to ground."""
    if circuit.kv is None:
        return f"voltage of {circuit.name} not known: worst of the classes to {up_to_kv:g} kV"
    if ground and circuit.grounded_wye is None and circuit.kv_to_ground is None:
        return f"grounding of {circuit.name} not known: taken as ungrounded"
    return ""


def volts(basis: Basis, wired: tuple[Wired, ...], up_to_kv: float) -> Volts:
    """The voltages a pair is judged by under a basis.

    `wired` are the first part's circuit, then the second's; parts without potential are left
    out. Communications circuits count as no voltage. Between two wires of one circuit it is the
    voltage between phases, or to ground where one is the neutral. Between circuits it is the
    greater of the larger voltage to ground and the sum of both, the phases taken as opposed.

    Source of the last: NESC rule 235A3, phase relation unknown; MEMORY.
    """
    supply = tuple(end for end in wired if end.circuit.kind == "supply")
    if basis == "none" or not supply:
        return Volts((0.0,))
    if basis == "conductor":
        supply = tuple(end for end in supply if not end.grounded)
        if not supply:
            return Volts((0.0,))
    circuits = tuple({end.circuit.id: end.circuit for end in supply}.values())
    if basis in ("circuit", "highest circuit", "conductor"):
        chosen = circuits[:1] if basis == "circuit" else circuits
        words = "; ".join(filter(None, (assumed(circuit, up_to_kv) for circuit in chosen)))
        every = [tries(circuit, up_to_kv) for circuit in chosen]
        floor = max(kvs[0] for kvs in every)
        return Volts(tuple(sorted({max(kv, floor) for kvs in every for kv in kvs})), words)
    words = "; ".join(
        filter(None, (assumed(circuit, up_to_kv, ground=True) for circuit in circuits))
    )
    if basis == "any two":
        return _any_two(supply, circuits, up_to_kv, words)
    if basis == "to ground":
        end = supply[0]
        if end.grounded:
            return Volts((0.0,))
        kvs = tries(end.circuit, up_to_kv)
        return Volts(tuple(_to_ground(end.circuit, kv) for kv in kvs), words)
    return _between(supply, circuits, up_to_kv, words)


def _any_two(
    supply: tuple[Wired, ...], circuits: tuple[Circuit, ...], up_to_kv: float, words: str
) -> Volts:
    """Between any two of the wires at hand, two phases of one circuit among them."""
    if len(circuits) == 1 and not all(end.neutral for end in supply):
        return Volts(tries(circuits[0], up_to_kv), assumed(circuits[0], up_to_kv))
    kvs = {0.0}
    for number, first in enumerate(supply):
        if not first.neutral:
            kvs.update(tries(first.circuit, up_to_kv))
        for second in supply[number + 1 :]:
            two = tuple({end.circuit.id: end.circuit for end in (first, second)}.values())
            kvs.update(_between((first, second), two, up_to_kv, words).kv)
    return Volts(tuple(sorted(kvs)), words)


def _between(
    supply: tuple[Wired, ...], circuits: tuple[Circuit, ...], up_to_kv: float, words: str
) -> Volts:
    if len(circuits) == 1:
        circuit = circuits[0]
        neutral = len(supply) < 2 or any(end.neutral for end in supply)
        kvs = tries(circuit, up_to_kv)
        if not neutral:
            words = assumed(circuit, up_to_kv)
            return Volts(kvs, words)
        return Volts(tuple(_to_ground(circuit, kv) for kv in kvs), words)
    first, second = supply[0], supply[1]
    sums = set()
    for kv_a in tries(first.circuit, up_to_kv):
        for kv_b in tries(second.circuit, up_to_kv):
            a = 0.0 if first.grounded else _to_ground(first.circuit, kv_a)
            b = 0.0 if second.grounded else _to_ground(second.circuit, kv_b)
            sums.add(a + b)
    return Volts(tuple(sorted(sums)), words)
