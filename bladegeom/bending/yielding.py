"""How far an elastic body gives way under a load, from the stiffness of its elements.

Unknowns are numbered along the body, so that an element joins near ones only and the stiffness is a band. It is
eliminated in blocks small enough for one thread: several threads wait for each other most of the time, and on a busy
machine take thirty times as long.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curve import FloatArray

IntArray = npt.NDArray[np.int64]

_BLOCK = 64
"""Unknowns in a block: OpenBLAS multiplies matrices of up to 64^3 products in one thread (its ``interface/gemm.c``)."""


def work_of_load(unknowns: IntArray, stiffness: FloatArray, load: FloatArray) -> float:
    """Work of a load along its own displacement: load K^-1 load.

    Args:
        unknowns: Of m elements with k unknowns each, shape (m, k); negative where one is held still.
        stiffness: Symmetric, shape (m, k, k).
        load: At each of n unknowns, shape (n,).

    Raises:
        numpy.linalg.LinAlgError: Something is held by nothing.
    """
    band, first = _band(unknowns, stiffness, len(load))
    push = np.zeros((len(first) - 1, _BLOCK))
    push.ravel()[: len(load)] = load
    total = 0.0
    for i, (start, end) in enumerate(pairwise(first)):
        root = np.linalg.inv(np.linalg.cholesky(band[start]))
        moved = root @ push[i]
        total += float(moved @ moved)
        carried = band[start + 1 : end] @ root.T
        for k, block in enumerate(carried):
            to = first[i + 1 + k]
            band[to : to + len(carried) - k] -= carried[k:] @ block.T
            push[i + 1 + k] -= block @ moved
    return total


def _band(unknowns: IntArray, stiffness: FloatArray, count: int) -> tuple[FloatArray, list[int]]:
    """Blocks on the diagonal and under it, column by column, (m, size, size), and at which each column begins and ends.

    A column reaches down as far as elimination fills it, no farther: a tang is high in few places.
    """
    row, column = np.broadcast_arrays(unknowns[:, :, None], unknowns[:, None, :])
    lower = (row // _BLOCK >= column // _BLOCK) & (column >= 0)
    row, column, value = row[lower], column[lower], stiffness[lower]
    last = np.arange(-(-count // _BLOCK))
    np.maximum.at(last, column // _BLOCK, row // _BLOCK)
    deep = np.maximum.accumulate(last) + 1 - np.arange(len(last))
    first = np.concatenate([[0], np.cumsum(deep)])
    place = first[column // _BLOCK] + row // _BLOCK - column // _BLOCK
    place = (place * _BLOCK + row % _BLOCK) * _BLOCK + column % _BLOCK
    band = np.bincount(place, value, minlength=first[-1] * _BLOCK * _BLOCK).reshape(-1, _BLOCK, _BLOCK)
    spare = np.arange(count % _BLOCK or _BLOCK, _BLOCK)
    band[-1, spare, spare] = 1.0
    return np.asarray(band), first.tolist()
