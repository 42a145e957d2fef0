"""Arms against hand-worked cases and a structural frame library."""

from __future__ import annotations

from itertools import pairwise

import pytest
from anastruct import SystemElements

from framer.stock.catalogue import part
from framer.stock.part import ArmPart, Bore
from framer.stock.source import Source
from framer.strength.arms import ArmLoad, braced_stress, worst_stress
from framer.strength.fittings import arm_woods, fittings

SOURCE = Source("test", "house")


def arm(width: float, depth: float, length: float, bolt: float | None, members: int = 1) -> ArmPart:
    bores = () if bolt is None else (Bore(bolt_dia_in=bolt),)
    return ArmPart(
        id="arm", name="arm", source=SOURCE, length_in=length, width_in=width, depth_in=depth,
        bores=bores, members=members,  # type: ignore[arg-type]
    )  # fmt: skip


def test_a_person_at_the_end_of_the_smallest_supply_arm() -> None:
    # GO 95: 300 lb at 46 in on a 3-1/4 x 4-1/4 in arm (Rules 46 and 49.2-B, read): 1,150 ft-lb;
    # 1,410 psi of the whole section and 1,416 with the bolt hole, worked by hand
    load = [ArmLoad("person", 46.0, 300.0, 0.0)]
    whole = worst_stress(arm(3.25, 4.25, 92.0, None), load)
    assert whole.upright_lbf_in / 12.0 == pytest.approx(1150.0)
    assert whole.psi == pytest.approx(1410.0, abs=1.0)
    holed = worst_stress(arm(3.25, 4.25, 92.0, 0.625), load)
    assert holed.psi == pytest.approx(1416.0, abs=1.0)


def test_a_double_arm_that_an_end_conductor_is_too_much_for() -> None:
    # 1,800 lb x 1.65 at 44 in on two 3-5/8 x 4-5/8 in arms, by hand: 10,890 ft-lb and 7,577 psi
    # each, more than the 6,300 psi that GO 95 table 5 (read) gives dense Douglas fir
    load = [ArmLoad("wire", 44.0, 0.0, 1.65 * 1800.0)]
    worst = worst_stress(arm(3.625, 4.625, 96.0, 0.625, members=2), load)
    assert 2.0 * worst.level_lbf_in / 12.0 == pytest.approx(10_890.0)
    assert worst.psi == pytest.approx(7577.0, abs=8.0)
    assert worst.psi > arm_woods()["Douglas fir, dense"].fiber_psi


@pytest.mark.parametrize(
    ("timber", "psi"),
    [
        ("Douglas fir, dense", 6300.0), ("Douglas fir", 5800.0), ("Southern pine, dense", 6300.0),
        ("Southern pine", 5800.0), ("Western red cedar", 4700.0),
    ],
)  # fmt: skip
def test_timber_of_arms_has_the_stresses_of_table_5(timber: str, psi: float) -> None:
    # GO 95 table 5, www.cpuc.ca.gov/gos/GO95/go_95_table_5.html (read), and its note b: 0.55
    wood = arm_woods()[timber]
    assert (wood.fiber_psi, wood.lasting_share) == (psi, 0.55)
    assert wood.source.how_known == "read"


def test_what_was_not_read_of_arms_and_fittings_says_memory() -> None:
    data = fittings()
    assert arm_woods()["ANSI O5.3 arm"].source.how_known == "memory"
    for one in (*data.rods, *data.bolts, *data.insulators):
        assert one.source.how_known == "memory"
    (person,) = data.persons
    assert (person.method, person.pounds) == ("go95", 300.0)


def test_limits_of_wires() -> None:
    # GO 95 Appendix C (a): 35 % of ultimate bare at 60 F and 50 % under the loading (read); 60 %
    # loaded is the usual limit on the CRC sag sheet (read)
    limits = {one.method: (one.loaded, one.bare_60_f) for one in fittings().wires}
    assert limits == {
        "go95": (0.5, 0.35), "nesc-2017": (0.6, None), "nesc-overload": (0.6, None),
    }  # fmt: skip


@pytest.mark.parametrize(
    ("key", "pounds"),
    [
        ("deadend-arm-10ft-2pos", 2500.0), ("deadend-arm-10ft-4pos", 4500.0),
        ("deadend-arm-13ft-6pos-2500lb", 2500.0), ("deadend-arm-15ft-6pos-4500lb", 4500.0),
    ],
)  # fmt: skip
def test_dead_end_arms_have_the_listed_rating_a_position(key: str, pounds: float) -> None:
    # unitized dead-end arms of a district's standards, esr.snopud.com, material 872607.1 (read)
    assert part(key, ArmPart).position_lbf == pounds


def frame_moments(loads: list[ArmLoad], reach: float, half: float) -> tuple[float, float, float]:
    """Moments at the braces and over the bolt of a beam on three supports, by the library."""
    stops = sorted({-half, -reach, 0.0, reach, half, *(one.out_in for one in loads)})
    system = SystemElements(EA=1e9, EI=5e7)
    for one, other in pairwise(stops):
        system.add_element([[one, 0.0], [other, 0.0]])
    number = {at: system.find_node_id([at, 0.0]) for at in stops}
    system.add_support_hinged(number[0.0])
    for at in (-reach, reach):
        system.add_support_roll(number[at])
    for one in loads:
        system.point_load(number[one.out_in], Fy=-one.down_lbf)
    system.solve()
    found = {}
    for element, start in zip(system.element_map.values(), stops[:-1], strict=True):
        moments = element.bending_moment
        assert moments is not None
        found[start] = abs(float(moments[0]))
    return found[-reach], found[0.0], found[reach]


@pytest.mark.parametrize(
    "pounds",
    [(300.0, 300.0), (300.0, 0.0), (300.0, 120.0)],
)
def test_a_braced_arm_as_a_frame(pounds: tuple[float, float]) -> None:
    loads = [ArmLoad("one", 44.0, pounds[0], 0.0), ArmLoad("other", -44.0, pounds[1], 0.0)]
    at_left, over, at_right = frame_moments(loads, 19.0, 48.0)
    assert at_right == pytest.approx(300.0 * 25.0, rel=1e-4)
    assert at_left == pytest.approx(pounds[1] * 25.0, rel=1e-4, abs=1e-3)
    assert over == pytest.approx((at_left + at_right) / 4.0, rel=1e-3)
    # ours is the brace's moment there, and nowhere less than the library's
    stock = arm(3.5, 4.5, 96.0, 0.625)
    ours = braced_stress(stock, loads, 19.0)
    assert ours.upright_lbf_in == pytest.approx(at_right, rel=1e-4)
    assert worst_stress(stock, loads).upright_lbf_in >= max(at_left, over, at_right)


def test_what_hangs_between_bolt_and_brace_is_not_less_than_in_the_frame() -> None:
    loads = [ArmLoad("pin", 12.0, 400.0, 0.0), ArmLoad("end", 44.0, 100.0, 0.0)]
    _, over, at_brace = frame_moments(loads, 19.0, 48.0)
    ours = braced_stress(arm(3.5, 4.5, 96.0, 0.625), loads, 19.0)
    assert ours.upright_lbf_in >= max(over, at_brace) - 1e-6


def test_an_arm_alone_as_a_frame() -> None:
    # fixed at the bolt, loads on one side: the library's fixed-end moment
    loads = [ArmLoad("one", 44.0, 300.0, 0.0), ArmLoad("two", 15.0, 180.0, 0.0)]
    system = SystemElements(EA=1e9, EI=5e7)
    for one, other in ((0.0, 15.0), (15.0, 44.0)):
        system.add_element([[one, 0.0], [other, 0.0]])
    system.add_support_fixed(1)
    system.point_load(2, Fy=-180.0)
    system.point_load(3, Fy=-300.0)
    system.solve()
    moment = abs(float(system.get_element_results(1)["Mmax"] or 0.0))
    moment = max(moment, abs(float(system.get_element_results(1)["Mmin"] or 0.0)))
    ours = worst_stress(arm(3.5, 4.5, 96.0, 0.625), loads)
    assert ours.upright_lbf_in == pytest.approx(moment, rel=1e-4)
