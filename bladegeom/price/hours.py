"""Grinding rates learned from a maker's own log, and the time that every stage of a run takes."""

from __future__ import annotations

import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from bladegeom.price.bill import Bill
from bladegeom.price.money import NOTHING, counted, trimmed
from bladegeom.price.price_items import Grinding, TimedWork
from bladegeom.quantities.declared import declared
from bladegeom.quantities.field_rules import Positive

LEAST_JOBS = 5
"""No rate is learned from fewer logged jobs; own choice: of five, two may be freaks and the median still stands."""

_HOUR = Decimal(60)


@declared("log, {job}")
class LoggedJob:
    """One knife, or one batch, that was ground.

    Args:
        job: By which the maker knows it.
        grinding: "rough" or "finish".
        removed: Steel taken off, > 0 mm3.
        minutes: That it took, > 0.

    >>> LoggedJob(job="S-1", grinding="rough", removed=4200.0, minutes=35.0).minutes
    35.0
    """

    job: str
    grinding: Grinding
    removed: Positive
    minutes: Positive


@dataclass(frozen=True, kw_only=True)
class Rate:
    """Steel taken off in a minute.

    Args:
        mm3_per_minute: The middle one of the logged jobs, or as given.
        slow: A quarter of the jobs was slower, mm3 a minute.
        quick: A quarter of the jobs was quicker.
        jobs: Logged; 0 where it was given.
    """

    mm3_per_minute: Decimal
    slow: Decimal
    quick: Decimal
    jobs: int

    @property
    def words(self) -> str:
        """The rate, its spread, and where it comes from."""
        if not self.jobs:
            return f"{trimmed(self.mm3_per_minute)} mm3 a minute, as given in the price list"
        return (
            f"{self.mm3_per_minute:.1f} mm3 a minute, median of {self.jobs} logged jobs; "
            f"the middle half of them lies between {self.slow:.1f} and {self.quick:.1f}"
        )


@dataclass(frozen=True, kw_only=True)
class Stage:
    """Time of one kind of work for the whole run.

    Args:
        work: Of the price list.
        minutes: That it takes.
        slow: With the slow quarter of the logged jobs, minutes.
        quick: With the quick quarter.
        how: Where the time comes from.
    """

    work: TimedWork
    minutes: Decimal
    slow: Decimal
    quick: Decimal
    how: str


def learned(jobs: Sequence[LoggedJob], grinding: Grinding) -> Rate | None:
    """The rate of a step from a log: the median over the jobs, with quartiles; None with too few of them.

    The median stands as long as fewer than half of the jobs went wrong in the logging.
    """
    rates = [job.removed / job.minutes for job in jobs if job.grinding == grinding]
    if len(rates) < LEAST_JOBS:
        return None
    slow, middle, quick = (counted(rate) for rate in statistics.quantiles(rates, n=4, method="inclusive"))
    return Rate(mm3_per_minute=middle, slow=slow, quick=quick, jobs=len(rates))


def rate_of(work: TimedWork, jobs: Sequence[LoggedJob]) -> Rate | str:
    """The rate of grinding work: learned where the log is long enough, else as given; or why there is none."""
    assert work.grinding is not None
    rate = learned(jobs, work.grinding)
    if rate is not None:
        return rate
    given = work.mm3_per_minute
    if given is not None:
        return Rate(mm3_per_minute=given, slow=given, quick=given, jobs=0)
    logged = sum(job.grinding == work.grinding for job in jobs)
    return (
        f"rate of {work.name}: the log holds {logged} job{'' if logged == 1 else 's'} of {work.grinding} grinding, "
        f"{LEAST_JOBS} are needed; give mm3_per_minute until then"
    )


def stage(work: TimedWork, bill: Bill, jobs: Sequence[LoggedJob]) -> Stage | str:
    """Time of one kind of work for a run; or why it cannot be told."""
    n = Decimal(bill.copies)
    parts = (
        (work.minutes_per_order, Decimal(1), "an order"),
        (work.minutes_per_knife, n, "a knife"),
        (work.minutes_per_hole, n * bill.holes, "a hole"),
    )
    minutes = sum((each * count for each, count, _ in parts if each is not None), NOTHING)
    how = [f"{trimmed(each)} min {what} x {trimmed(count)}" for each, count, what in parts if each is not None]
    slow = quick = minutes
    if work.grinding is not None:
        rate = rate_of(work, jobs)
        if isinstance(rate, str):
            return rate
        removed = n * counted(bill.ground_off(work.grinding))
        minutes += removed / rate.mm3_per_minute
        slow, quick = slow + removed / rate.slow, quick + removed / rate.quick
        how.append(f"{removed:.0f} mm3 at {rate.words}")
    return Stage(work=work, minutes=minutes, slow=slow, quick=quick, how="; ".join(how))


def as_hours(minutes: Decimal) -> str:
    """To a hundredth.

    >>> as_hours(Decimal(90))
    '1.50 h'
    """
    return f"{minutes / _HOUR:.2f} h"


def wages(minutes: Decimal, hour_rate: Decimal) -> Decimal:
    """Of some minutes at a rate, not rounded."""
    return minutes * hour_rate / _HOUR
