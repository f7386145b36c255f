import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutworthy.settings.inertia import (
    accelerating_torque_n_m,
    angular_acceleration,
    carried_inertia_kg_m2,
    rod_inertia_kg_m2,
    thrust_n,
    thrust_torque_n_m,
)
from cutworthy.settings.screw import Thread, efficiency, half_angle_rad, raise_torque_n_m
from cutworthy.settings.shaft import steel

G = 9.80665
DENSITY = 7850.0

# A router's X: 20 kg, lead 8, screw 8 by 700, rotor 4.8e-5, coupling 1e-6, a 0.5 m/s^2, drag 0.1 m g + 5 N; the
# formulas worked out in double precision, apart from this package.
SHARE = 0.6612384516940238
DRAG = 0.1 * 20 * G + 5


def test_a_router_axis():
    screw, mass = rod_inertia_kg_m2(8.0, 700.0, DENSITY), carried_inertia_kg_m2(20.0, 8.0)
    turning = 4.8e-5 + screw + 1e-6
    assert mass == pytest.approx(3.242277876554809e-5, rel=1e-12)
    assert screw == pytest.approx(2.209670608828917e-6, rel=1e-12)
    assert turning + mass == pytest.approx(8.3632449374377e-5, rel=1e-12)
    assert (mass + screw + 1e-6) / 4.8e-5 == pytest.approx(0.7423426952995209, rel=1e-12)
    assert angular_acceleration(500.0, 8.0) == pytest.approx(392.6990816987241, rel=1e-12)
    speeding = accelerating_torque_n_m(turning, 20.0, 500.0, 8.0, SHARE)
    assert accelerating_torque_n_m(turning, 0.0, 500.0, 8.0, SHARE) == pytest.approx(0.020109990622181256, rel=1e-12)
    assert accelerating_torque_n_m(0.0, 20.0, 500.0, 8.0, SHARE) == pytest.approx(0.019255376656836215, rel=1e-12)
    drag = thrust_torque_n_m(DRAG, 8.0, SHARE)
    assert drag == pytest.approx(0.04739383622677067, rel=1e-12)
    assert drag + speeding == pytest.approx(0.08675920350578815, rel=1e-12)
    cutting = thrust_torque_n_m(50.0, 8.0, SHARE)
    assert drag + speeding + cutting == pytest.approx(0.18303608678996922, rel=1e-12)


def test_holding_five_kilograms():
    assert thrust_torque_n_m(5 * G, 8.0, 1.0) == pytest.approx(0.06243107290688541, rel=1e-12)


def plover(kind, mean, lead, friction):
    return efficiency(
        Thread(lead_mm=lead, mean_diameter_mm=mean, half_angle_rad=half_angle_rad(kind), friction=friction)
    )


BALL, CUT = plover("ball", 16.0, 10.0, 0.01), plover("trapezoidal", 7.0, 8.0, 0.15)
# The axes of Plover, to six digits: lead, major, root, span, mass, rotor, acceleration, drag, efficiency.
AXES = {
    "x": (10.0, 16.0, 13.2, 1000.0, 14.0, 460e-7, 400.0, 12.0, BALL),
    "y": (10.0, 16.0, 13.2, 720.0, 7.0, 460e-7, 400.0, 9.0, BALL),
    "z": (8.0, 8.0, 5.6, 160.0, 4.2, 280e-7, 200.0, 6.0, CUT),
}
# Angular acceleration, J of the screw, of the mass, in all, torque to accelerate, for drag, for 40 N, N for 1 N*m.
EXPECTED = {
    "x": ("251.327", "3.50172e-05", "3.54624e-05", "0.000116480", "0.0297412", "0.0200986", "0.0669953", "597.057"),
    "y": ("251.327", "2.52124e-05", "1.77312e-05", "8.89436e-05", "0.0225873", "0.0150739", "0.0669953", "597.057"),
    "z": ("157.080", "2.63648e-07", "6.80878e-06", "3.50724e-05", "0.00605710", "0.0115532", "0.0770215", "519.335"),
}


@pytest.mark.parametrize("axis", AXES)
def test_the_axes_of_plover(axis):
    lead, major, root, span, mass, rotor, acceleration, drag, share = AXES[axis]
    screw = rod_inertia_kg_m2((major + root) / 2, span, steel().density_kg_m3)
    carried = carried_inertia_kg_m2(mass, lead)
    told = (
        angular_acceleration(acceleration, lead),
        screw,
        carried,
        rotor + screw + carried,
        accelerating_torque_n_m(rotor + screw, mass, acceleration, lead, share),
        thrust_torque_n_m(drag, lead, share),
        thrust_torque_n_m(40.0, lead, share),
        thrust_n(1.0, lead, share),
    )
    assert tuple(f"{value:#.6g}" for value in told) == EXPECTED[axis]


@pytest.mark.parametrize(("axis", "total"), [("x", "0.116835"), ("y", "0.104656"), ("z", "0.173941")])
def test_the_whole_torque_of_plover(axis, total):
    lead, major, root, span, mass, rotor, acceleration, drag, share = AXES[axis]
    turning = rotor + rod_inertia_kg_m2((major + root) / 2, span, DENSITY)
    weight = mass * G if axis == "z" else 0.0
    push = thrust_torque_n_m(drag + 40.0 + weight, lead, share)
    assert f"{accelerating_torque_n_m(turning, mass, acceleration, lead, share) + push:#.6g}" == total


@pytest.mark.parametrize(("share", "expected"), [(CUT, "0.0793089"), (1.0, "0.0524421")])
def test_lifting_the_z_of_plover(share, expected):
    assert f"{thrust_torque_n_m(4.2 * G, 8.0, share):#.6g}" == expected


@pytest.mark.parametrize(
    ("torque", "lead", "share", "expected"),
    [(0.7 * 1.8 / math.sqrt(2), 10.0, BALL, "531.951"), (0.7 / math.sqrt(2), 8.0, CUT, "257.058")],
)
def test_usable_thrust_of_plover(torque, lead, share, expected):
    # 0.7 of the torque, which at the card's speed is still the standing one.
    assert f"{thrust_n(torque, lead, share):#.6g}" == expected


def test_a_rod_against_a_sum_over_thin_tubes():
    edges = np.linspace(0.0, 0.0073, 20_001)
    radius, width = (edges[1:] + edges[:-1]) / 2, np.diff(edges)
    tubes = float((DENSITY * 1.0 * 2 * math.pi * radius * width * radius**2).sum())
    assert rod_inertia_kg_m2(14.6, 1000.0, DENSITY) == pytest.approx(tubes, rel=1e-8)


@given(st.floats(1e-6, 1e-2), st.floats(0.1, 100), st.floats(10, 5000), st.floats(1, 200))
def test_without_loss_the_work_is_the_energy_of_motion(turning, mass, acceleration, travel):
    # From rest over one turn: the torque's work against the energy of what turns and what slides.
    torque = accelerating_torque_n_m(turning, mass, acceleration, travel, 1.0)
    speed = math.sqrt(2 * acceleration * travel) / 1000
    turn_speed = speed * 2 * math.pi / (travel / 1000)
    energy = turning * turn_speed**2 / 2 + mass * speed**2 / 2
    assert torque * 2 * math.pi == pytest.approx(energy, rel=1e-9)
    alpha = angular_acceleration(acceleration, travel)
    assert torque == pytest.approx((turning + carried_inertia_kg_m2(mass, travel)) * alpha, rel=1e-9)


@given(st.floats(0.1, 5000), st.floats(0.5, 200), st.floats(0.05, 1))
def test_thrust_and_its_torque_undo_each_other(force, travel, share):
    assert thrust_n(thrust_torque_n_m(force, travel, share), travel, share) == pytest.approx(force, rel=1e-9)


@given(st.floats(0.1, 5000), st.floats(4, 40), st.floats(0.1, 1), st.floats(0.001, 0.3))
def test_thrust_torque_is_the_raising_torque_of_the_thread(force, mean, ratio, friction):
    screw = Thread(
        lead_mm=mean * ratio, mean_diameter_mm=mean, half_angle_rad=half_angle_rad("acme"), friction=friction
    )
    torque = thrust_torque_n_m(force, screw.lead_mm, efficiency(screw))
    assert torque == pytest.approx(raise_torque_n_m(force, screw), rel=1e-9)


@given(st.floats(1e-6, 1e-2), st.floats(0.1, 100), st.floats(0.05, 0.99))
def test_loss_costs_only_what_passes_the_thread(turning, mass, share):
    lossless, lossy = (accelerating_torque_n_m(turning, mass, 400.0, 10.0, each) for each in (1.0, share))
    rotor = accelerating_torque_n_m(turning, 0.0, 400.0, 10.0, share)
    assert lossy > lossless
    assert lossy - rotor == pytest.approx((lossless - rotor) / share, rel=1e-6)
