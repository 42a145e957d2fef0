"""A guyed pole against a structural frame library: what the guys carry, and the moments left."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from anastruct import SystemElements

from framer.geometry.pole import PoleSolid
from framer.stock.part import GuyPart
from framer.stock.source import Source
from framer.strength.bending import Bending
from framer.strength.data import Loading, Wood
from framer.strength.held import STRAND_PSI, stretch
from framer.strength.loads import GuyOn, Loads, Pull
from framer.strength.section import Sections

SOURCE = Source("test", "house")
CALM = Loading(
    id="calm", name="calm", ice_in=0.0, wind_psf=0.0, flat_wind_psf=0.0, temp_f=60.0, source=SOURCE
)
E_PSI = 2.0e6
HEIGHT, FOOT_DIA, TOP_DIA = 420.0, 12.0, 8.0
STRAND = GuyPart(
    id="strand", name="strand", source=SOURCE, dia_in=0.375, strength_lbf=15_400.0,
    weight_lb_per_ft=0.273,
)  # fmt: skip
STIFF_WOOD = Wood(species="test", fiber_psi=8000.0, modulus_psi=E_PSI, source=SOURCE)


def guy(height: float, lead: float) -> GuyOn:
    """A guy to the west."""
    return GuyOn(f"guy-{height:g}", "guy", height, -1.0, 0.0, lead, height, STRAND)


def pull(height: float, east: float) -> Pull:
    return Pull("x", "x", "wire tension", height, height, 0.0, 0.0, east, 0.0, 0.0, "")


def dia(z: float) -> float:
    return FOOT_DIA + (TOP_DIA - FOOT_DIA) * z / HEIGHT


def cut_at(up: np.ndarray, dias: np.ndarray) -> Sections:
    """Sound sections of these thicknesses."""
    moduli, inertias = np.pi * dias**3 / 32.0, np.pi * dias**4 / 64.0
    return Sections(up, dias, moduli, inertias, np.pi * dias**2 / 4.0, {}, read_sound=False)


def ours(pulls: list[Pull], guys: list[GuyOn]) -> tuple[Bending, np.ndarray, np.ndarray]:
    """Level pulls of the guys, and moments to the east, by height, without what leaning adds."""
    girths = ((0.0, math.pi * FOOT_DIA), (HEIGHT, math.pi * TOP_DIA))
    solid = PoleSolid("pole", (0.0, 0.0, 0.0), (0.0, 0.0, 1.0), HEIGHT, 72.0, "", girths, "")
    heights = {*np.linspace(0.0, HEIGHT, 141).tolist()}
    heights.update(one.height_in for one in guys)
    up = np.array(sorted(heights))
    dias = np.array([dia(z) for z in up.tolist()])
    cut = cut_at(up, dias)
    carried = Loads("pole", CALM, tuple(pulls), (), tuple(guys), (), (), ())
    bending = Bending(carried, cut, solid, STIFF_WOOD)
    bent = bending.bent(1.0, 1.0, 1.0)
    return bending, bent.pulls[0], bent.first[0, :, 0]


def frame(pulls: list[Pull], guys: list[GuyOn]) -> tuple[list[float], dict[float, float]]:
    """The same by the library: tension in each guy, and the moment at each node of the pole."""
    system = SystemElements()
    nodes = {*np.linspace(0.0, HEIGHT, 141).tolist()}
    nodes.update(one.height_in for one in (*pulls, *guys))
    levels = sorted(nodes)
    for low, high in pairwise(levels):
        inertia = math.pi * dia((low + high) / 2.0) ** 4 / 64.0
        # as stiff along as makes the push count for nothing, as it does in ours
        system.add_element([[0.0, low], [0.0, high]], EA=1e13, EI=E_PSI * inertia)
    strands = []
    for one in guys:
        length = math.hypot(one.lead_in, one.drop_in)
        area = length**3 / (STRAND_PSI * stretch(one) * one.lead_in**2)
        place = [[0.0, one.height_in], [-one.lead_in, 0.0]]
        strands.append(system.add_truss_element(place, EA=STRAND_PSI * area))
        system.add_support_hinged(system.find_node_id([-one.lead_in, 0.0]))
    system.add_support_hinged(system.find_node_id([0.0, 0.0]))
    for load in pulls:
        system.point_load(system.find_node_id([0.0, load.height_in]), Fx=load.east_lbf)
    system.solve()
    tensions = [float(system.get_element_results(number)["Nmax"]) for number in strands]
    moments = {}
    for number, low in enumerate(levels[:-1], start=1):
        result = system.get_element_results(number, verbose=True)
        moments[low] = float(result["M"][0])
    return tensions, moments


ONE_GUY = ([pull(408.0, 4500.0), pull(360.0, 800.0)], [guy(384.0, 180.0)])
TWO_GUYS = ([pull(410.0, 4500.0), pull(330.0, 1500.0)], [guy(396.0, 200.0), guy(318.0, 160.0)])
THREE_GUYS = (
    [pull(414.0, 3000.0), pull(366.0, 2500.0), pull(300.0, 2000.0)],
    [guy(402.0, 240.0), guy(354.0, 200.0), guy(288.0, 150.0)],
)


@pytest.mark.parametrize(("pulls", "guys"), [ONE_GUY, TWO_GUYS, THREE_GUYS])
def test_guys_and_moments_are_those_of_a_frame(pulls: list[Pull], guys: list[GuyOn]) -> None:
    bending, level, moments = ours(pulls, guys)
    tensions, theirs = frame(pulls, guys)
    for one, mine, tension in zip(guys, level.tolist(), tensions, strict=True):
        assert mine * math.hypot(one.lead_in, one.drop_in) / one.lead_in == pytest.approx(
            tension, rel=0.01
        )
    most = max(abs(moment) for moment in theirs.values())
    for z, mine in zip(bending.z.tolist(), moments.tolist(), strict=True):
        if z in theirs:
            assert abs(mine) == pytest.approx(abs(theirs[z]), abs=0.02 * most), f"at {z:g} in"


def test_the_push_of_a_guyed_pole_makes_its_bow_bigger_by_the_known_share() -> None:
    # a strut of one thickness bowed by one pull in its middle: 1 / (1 - P / Pcr) to a few percent
    # (Timoshenko and Gere, Theory of Elastic Stability, ch. 1; from memory)
    pulls, guys = [pull(200.0, 500.0)], [guy(400.0, 40.0)]
    girths = ((0.0, math.pi * 9.0), (HEIGHT, math.pi * 9.0))
    solid = PoleSolid("pole", (0.0, 0.0, 0.0), (0.0, 0.0, 1.0), HEIGHT, 72.0, "", girths, "")
    up = np.array(sorted({*np.linspace(0.0, HEIGHT, 211).tolist(), 400.0, 200.0}))
    dias = np.full(len(up), 9.0)
    cut = cut_at(up, dias)
    bending = Bending(Loads("pole", CALM, tuple(pulls), (), tuple(guys), (), (), ()), cut, solid,
                      STIFF_WOOD)  # fmt: skip
    bent = bending.bent(1.0, 1.0, 1.0)
    press = float(bent.pulls[0, 0]) * 400.0 / 40.0
    critical = math.pi**2 * E_PSI * math.pi * 9.0**4 / 64.0 / 400.0**2
    at = int(np.argmin(np.abs(bending.z - 200.0)))
    bigger = float(bent.moment[0, at, 0] / bent.first[0, at, 0])
    assert 0.03 < press / critical < 0.5
    share = press / critical
    assert bigger == pytest.approx((1.0 - 0.18 * share) / (1.0 - share), rel=0.01)
    assert float(bent.crowding[0]) == pytest.approx(share, rel=1e-6)
