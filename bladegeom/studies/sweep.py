"""A design over many values of its parameters, in parallel, in order."""

from __future__ import annotations

import contextlib
import inspect
import itertools
import pickle
from collections import deque
from collections.abc import Callable, Generator, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import Executor, Future
from typing import Annotated, Final

from bladegeom.knife.knife import Knife
from bladegeom.quantities.declared import checked
from bladegeom.quantities.errors import ParameterError, UnknownNameError
from bladegeom.quantities.field_rules import Like
from bladegeom.quantities.told import told
from bladegeom.studies.processes import cores, processes
from bladegeom.studies.variant import Row, run_variant

Grid = Mapping[str, Iterable[object]]
"""Values of each parameter; the sweep goes over every combination of them."""

_AHEAD: Final = 512
"""Variants handed out and not yet collected, at most: work for some hundred workers, a few MB; own choice."""


def sweep(
    design: Callable[..., Knife], grid: Grid | Iterable[Mapping[str, object]], *, executor: Executor | None = None
) -> Generator[Row]:
    """Make, weigh and check every variant of a design.

    The rows come in the order of the variants, whichever is done first, and no more than a few hundred are under way
    at a time, so that a sweep of any length takes the same memory. A variant that fails is told in its row. Who stops
    asking for rows (``close()``, Ctrl-C) stops the sweep: what has not begun is not begun.

    Args:
        design: A function of named parameters that returns a knife. For worker processes it must be one that they can
            import: defined at the top of a module or of the script, whose own sweep stands under
            ``if __name__ == "__main__":``.
        grid: Values by parameter, for all their combinations, the last parameter changing fastest; or the variants
            themselves, each as parameters with their values.
        executor: What runs the variants; by default as many processes on this machine as it has processors. Any of
            ``concurrent.futures`` will do, and so will a cluster's: with ``client = distributed.Client("head:8786")``
            the argument ``executor=client.get_executor()`` moves the sweep to a Dask cluster, unchanged. Its machines
            need bladegeom and, importable, the module that holds the design.

    Raises:
        UnknownNameError: A parameter that the design does not have. This and the next are told before anything runs,
            unless the variants come from an iterator, which can be read only once.
        ParameterError: A parameter without a value, or a design that cannot be sent to a worker process.
        BrokenExecutor: A worker process came to an end by itself, as one does that runs out of memory.

    >>> import dataclasses
    >>> from concurrent.futures import ThreadPoolExecutor
    >>> from bladegeom import Stock
    >>> def thick(thickness: float) -> Knife:
    ...     return dataclasses.replace(knife, stock=Stock(steel="1.4116", thickness=thickness))
    ...
    >>> with ThreadPoolExecutor(1) as pool:
    ...     rows = list(sweep(thick, {"thickness": (3.0, 4.0)}, executor=pool))
    ...
    >>> [round(row.outcome.mass, 1) for row in rows]
    [159.5, 191.1]
    """
    if not callable(design):
        raise ParameterError("design", told(design), "be a function that returns a knife")
    if not isinstance(grid, Iterable):
        raise ParameterError("grid", told(grid), "be written like {'blade_length': [100.0, 110.0]}")
    variants = _variants(design, grid)
    if executor is None:
        _require_sendable(design)
    return _rows(design, variants, executor)


def combinations(grid: Grid) -> Iterator[dict[str, object]]:
    """Every combination of the values, the last parameter changing fastest."""
    return (dict(zip(grid, values, strict=True)) for values in itertools.product(*grid.values()))


_Variant = Annotated[Mapping[str, object], Like("{'blade_length': 100.0}")]


def _variants(
    design: Callable[..., Knife], grid: Grid | Iterable[Mapping[str, object]]
) -> Iterator[Mapping[str, object]]:
    signature = inspect.signature(design)
    if not isinstance(grid, Mapping):
        if isinstance(grid, Sequence):
            for variant in grid:
                checked("sweep: variant", variant, _Variant)
                _require_names(signature, variant)
        return _checked(signature, grid)
    _require_names(signature, grid)
    return combinations({name: values_of(name, values) for name, values in grid.items()})


def values_of(name: str, values: Iterable[object]) -> tuple[object, ...]:
    """The values of one parameter of a grid.

    Raises:
        ParameterError: A text, a single value, or none.
    """
    if isinstance(values, str):
        raise ParameterError(name, repr(values), f"be a list of values, such as [{values!r}]")
    if not isinstance(values, Iterable):
        raise ParameterError(name, told(values), f"be a list of values, such as [{told(values)}]")
    listed = tuple(values)
    if not listed:
        raise ParameterError(name, "no value at all", "have at least one")
    return listed


def _checked(signature: inspect.Signature, variants: Iterable[Mapping[str, object]]) -> Iterator[Mapping[str, object]]:
    for variant in variants:
        _require_names(signature, variant)
        yield variant


def _require_names(signature: inspect.Signature, names: Iterable[str]) -> None:
    """Whether a design can be called with these parameters and no others."""
    known = signature.parameters
    given = set(names)
    takes_any = any(p.kind is p.VAR_KEYWORD for p in known.values())
    for name in sorted(given - set(known)):
        if not takes_any:
            raise UnknownNameError("parameter", name, known)
    for name, p in known.items():
        if p.default is p.empty and p.kind in (p.POSITIONAL_OR_KEYWORD, p.KEYWORD_ONLY) and name not in given:
            raise ParameterError(name, "not given", "have a value in every variant, or a default in design()")


def _require_sendable(design: Callable[..., Knife]) -> None:
    try:
        pickle.dumps(design)
    except (pickle.PicklingError, AttributeError, TypeError) as error:
        must = "be a function that a worker process can import, defined with 'def' at the top of a module"
        raise ParameterError("design", repr(design), must) from error


def _rows(
    design: Callable[..., Knife], variants: Iterator[Mapping[str, object]], executor: Executor | None
) -> Generator[Row]:
    with processes(cores()) if executor is None else contextlib.nullcontext(executor) as pool:
        under_way: deque[Future[Row]] = deque()
        try:
            for variant in variants:
                under_way.append(pool.submit(run_variant, design, variant))
                if len(under_way) == _AHEAD:
                    yield under_way[0].result()
                    under_way.popleft()
            while under_way:
                yield under_way[0].result()
                under_way.popleft()
        finally:
            for future in under_way:
                future.cancel()
