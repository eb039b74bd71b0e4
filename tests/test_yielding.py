"""Work of a load on a body of elements, against numpy's dense solver."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bladegeom.bending.yielding import work_of_load


@given(
    seed=st.integers(0, 2**32 - 1),
    count=st.integers(1, 400),
    reaches=st.lists(st.sampled_from([3, 20, 90, 300]), min_size=1, max_size=6),
)
def test_it_is_that_of_a_dense_solver_however_far_the_elements_reach(seed: int, count: int, reaches: list[int]) -> None:
    random = np.random.default_rng(seed)
    # An element on each unknown, some of them held still; how far each stretch of the body reaches differs.
    reach = np.array(reaches)[np.arange(count) * len(reaches) // count]
    others = np.arange(count)[:, None] + random.integers(0, reach[:, None], (count, 3))
    unknowns = np.column_stack([np.arange(count), np.where(others < count, others, -1)])
    root = random.uniform(-1.0, 1.0, (count, 4, 4))
    stiffness = root @ root.transpose(0, 2, 1) + np.eye(4)
    load = random.uniform(-1.0, 1.0, count)
    dense = np.zeros((count + 1, count + 1))
    np.add.at(dense, (unknowns[:, :, None], unknowns[:, None, :]), stiffness)
    whole = dense[:count, :count]
    assert work_of_load(unknowns, stiffness, load) == pytest.approx(load @ np.linalg.solve(whole, load), rel=1e-9)


def test_what_nothing_holds_is_an_error() -> None:
    pair = np.array([[[1.0, -1.0], [-1.0, 1.0]]])
    with pytest.raises(np.linalg.LinAlgError):
        work_of_load(np.array([[0, 1]]), pair, np.array([0.0, 1.0]))
