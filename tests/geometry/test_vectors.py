"""Trigonometry in degrees against Python's own; rotations against scipy's Rotation."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from pipemodel.geometry.vectors import angle_deg, any_normal, cos_deg, cross, dot, length, rotate, sin_deg, unit

angles = st.floats(-1000, 1000)
numbers = st.floats(-1e6, 1e6).filter(lambda x: x == 0 or abs(x) > 1e-6)
vectors = st.tuples(numbers, numbers, numbers).filter(lambda v: length(v) > 1e-3)


@pytest.mark.parametrize(
    ("angle", "sine", "cosine"),
    [(0, 0, 1), (90, 1, 0), (180, 0, -1), (270, -1, 0), (360, 0, 1), (-90, -1, 0), (-180, 0, -1), (450, 1, 0)],
)
def test_quarter_turns_are_exact(angle, sine, cosine):
    assert sin_deg(angle) == sine
    assert cos_deg(angle) == cosine


@given(angles)
def test_sine_and_cosine_agree_with_radians(angle):
    assert sin_deg(angle) == pytest.approx(math.sin(math.radians(angle)), abs=1e-12)
    assert cos_deg(angle) == pytest.approx(math.cos(math.radians(angle)), abs=1e-12)


@given(vectors, vectors, angles)
def test_rotate_agrees_with_scipy(v, axis, angle):
    axis = unit(axis)
    expected = Rotation.from_rotvec(np.asarray(axis) * angle, degrees=True).apply(v)
    assert rotate(v, axis, angle) == pytest.approx(tuple(expected), abs=1e-8 * max(1.0, length(v)))


@given(vectors)
def test_any_normal_is_a_unit_vector_square_to_the_direction(v):
    n = any_normal(v)
    assert length(n) == pytest.approx(1.0)
    assert dot(n, v) == pytest.approx(0.0, abs=1e-9 * length(v))


@pytest.mark.parametrize("angle", [1e-7, 0.5, 45.0, 90.0, 135.0, 179.5, 179.9999999])
def test_angle_is_accurate_near_both_ends(angle):
    a = (1.0, 0.0, 0.0)
    b = (math.cos(math.radians(angle)), math.sin(math.radians(angle)), 0.0)
    assert angle_deg(a, b) == pytest.approx(angle, rel=1e-12, abs=1e-13)


def test_cross_is_right_handed():
    assert cross((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)) == (0.0, 0.0, 1.0)
