"""The same sweep on a Dask cluster, through nothing but the executor of its client."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

distributed = pytest.importorskip("distributed")

from bladegeom import FlatBevel, Grind, Knife, Plunge, Stock, join_halves  # noqa: E402
from bladegeom.profiles.drop_point import DropPoint  # noqa: E402
from bladegeom.profiles.swelled import Swelled  # noqa: E402
from bladegeom.studies.sweep import sweep  # noqa: E402


def bare(blade_length: float = 105.0, thickness: float = 4.0) -> Knife:
    outline = join_halves(DropPoint(blade_length=blade_length), Swelled())
    return Knife(
        name="Bare",
        outline=outline,
        stock=Stock(steel="1.4116", thickness=thickness),
        grind=Grind(bevel=FlatBevel(height=17.0, edge_thickness=0.4), plunge=Plunge(x=outline.heel[0])),
    )


@pytest.fixture(scope="module", params=[False, True], ids=["threads", "process"])
def client(request: pytest.FixtureRequest) -> Iterator[Any]:
    """A cluster of one worker on this machine: two threads of this process, or a process of its own."""
    with (
        distributed.LocalCluster(
            n_workers=1, threads_per_worker=2, processes=request.param, dashboard_address=None
        ) as cluster,
        distributed.Client(cluster) as client,
    ):
        yield client


def test_a_cluster_gives_the_same_rows_in_the_same_order(client: Any) -> None:
    grid = {"blade_length": [100.0, 110.0, 120.0], "thickness": [3.0, -1.0, 4.0]}
    here = list(sweep(bare, grid))
    there = list(sweep(bare, grid, executor=client.get_executor()))
    assert [row.failed for row in there] == [False, True, False] * 3
    assert there == here


def test_who_stops_asking_leaves_the_cluster_to_others(client: Any) -> None:
    rows = sweep(bare, {"blade_length": [100.0 + i / 10 for i in range(200)]}, executor=client.get_executor())
    next(rows)
    rows.close()
    assert client.submit(sum, [1, 2]).result(timeout=30) == 3
