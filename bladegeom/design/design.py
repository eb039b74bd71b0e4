"""The one context: a knife, the order and the work that it is made for, what the maker allows, and what follows."""

from __future__ import annotations

import dataclasses
import datetime
from collections.abc import Mapping
from dataclasses import KW_ONLY, dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any, ClassVar, Self, TypeVar, cast, overload

from bladegeom import agreement
from bladegeom.agreement.agreed import Agreed, Spoiled
from bladegeom.agreement.signed import Signed
from bladegeom.balance.sensitivities import what_moves_balance
from bladegeom.balance.sensitivity import Sensitivity
from bladegeom.design.declared import agreed_of, order_of, settings_of, steps_of, told_where_declared, work_of
from bladegeom.design.release import errors_of, remarks_of, standing_of
from bladegeom.design.script import Script, load_script
from bladegeom.drilling.card import DrillCard, drill_card
from bladegeom.fasteners.hardware import Stack
from bladegeom.fasteners.stack import stacks
from bladegeom.findings.check import check
from bladegeom.grinding.grind_sheet import GrindSheet, grind_sheet
from bladegeom.handle.section import HandleSection, handle_sections
from bladegeom.knife.finding import Finding, Findings
from bladegeom.knife.knife import Knife
from bladegeom.knife.revision_id import revision_date, revision_id
from bladegeom.mass.weigh import Weighing, weigh
from bladegeom.order.order import Order
from bladegeom.quantities.declared import checked
from bladegeom.quantities.paths import path_of
from bladegeom.settings.settings import Settings, settings_in_force
from bladegeom.signoff.card_table import Card
from bladegeom.signoff.check_order import check_made, check_order
from bladegeom.signoff.job_card import card
from bladegeom.signoff.traceability import Landing, landings
from bladegeom.workshop.heat_treat import HeatTreatCard
from bladegeom.workshop.operation import Number
from bladegeom.workshop.route import Route, route
from bladegeom.workshop.steps import StepChange
from bladegeom.workshop.work import Work

T = TypeVar("T")


class _Told(cached_property[T]):
    """Computed once, with lengths told in the order that the design's settings say."""

    @overload
    def __get__(self, instance: None, owner: type[Any] | None = None) -> Self: ...
    @overload
    def __get__(self, instance: object, owner: type[Any] | None = None) -> T: ...
    def __get__(self, instance: Any, owner: type[Any] | None = None) -> Self | T:
        if instance is None:
            return self
        with instance.settings.in_force():
            return cast("T", super().__get__(instance, owner))


@dataclass(frozen=True)
class Design:
    """A knife with everything that decides about it; what follows is computed when it is first asked for, and once.

    Args:
        knife: What is declared.
        order: Of the customer it is made for; None takes the knife alone.
        work: What the maker has settled about the work; None has settled nothing.
        steps: What the maker changes in the order of work.
        agreed: What the customer agreed to, or the file that was to hold it; None has agreed nothing yet.
        parameters: With which a script was called; printed, so that every sheet can be made again.
        allowed: Codes of errors in spite of which the maker releases the design; every sheet says so.
        settings: Of the shop: paper, printer, which unit is told first. What they say of rules and tools the knife
            has taken already, where its script says nothing else.
        taken: Files of the maker's stockroom that its script took: ``("steels/shop steel 7.toml",)``.

    Raises:
        ParameterError: A value of another kind.

    >>> design = Design(knife, parameters={"blade_length": 110.0})
    >>> round(design.weighing.total.amount, 1), round(design.weighing.balance_from_front, 1)
    (175.3, -31.9)
    >>> design.released, [finding.code for finding in design.findings]
    (True, ['bevel-reaches-spine'])
    >>> design.title
    'Rigging knife, revision A-215221d0'
    """

    __example__: ClassVar = "Design(knife)"

    knife: Knife
    _: KW_ONLY
    order: Order | None = None
    work: Work | None = None
    steps: tuple[StepChange, ...] = ()
    agreed: Agreed | Spoiled | None = None
    parameters: Mapping[str, object] = field(default_factory=dict, hash=False)
    allowed: tuple[str, ...] = ()
    settings: Settings = field(default_factory=settings_in_force)
    taken: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        kinds = {"knife": Knife, "order": Order | None, "work": Work | None, "agreed": Agreed | Spoiled | None}
        for name, kind in (*kinds.items(), ("settings", Settings)):
            checked(f"design: {name}", getattr(self, name), kind)
        called = checked("design: parameters", self.parameters, Mapping[str, object])
        object.__setattr__(self, "parameters", dict(called))
        for name, row in (("steps", tuple[StepChange, ...]), ("taken", tuple[str, ...]), ("allowed", tuple[str, ...])):
            object.__setattr__(self, name, tuple(checked(f"design: {name}", getattr(self, name), row)))

    @classmethod
    def from_script(cls, path: str | Path, *, settings: Settings | None = None, **parameters: object) -> Self:
        """The design of a maker's script, with its order, ``WORK`` and ``STEPS``, as the command line reads it.

        Args:
            path: The script; its order is ``ORDER`` in it or ``NAME.order.toml`` beside it, and what was agreed
                ``NAME.agreed.toml``.
            settings: Of the shop, for what the script does not say: ``read_settings()``; None takes what is built in,
                or the settings in force.
            parameters: Of its ``design()`` that differ from their defaults.

        Raises:
            ScriptError: The script fails, or something in it says what no design can say; its own line is named.
            UnknownNameError: A parameter that the design does not have.
        """
        checked("design: settings", settings, Settings | None)
        return cls.of_script(load_script(path_of("design", path), settings), parameters)

    @classmethod
    def of_script(cls, script: Script, parameters: Mapping[str, object], *, allowed: tuple[str, ...] = ()) -> Self:
        """The design of a script that is read already.

        Args:
            script: The script.
            parameters: That differ from their defaults.
            allowed: Codes of errors that the maker allows.
        """
        knife, called = script.knife(parameters)
        with script.named(), told_where_declared(script):
            made = cls(
                knife,
                order=order_of(script),
                work=work_of(script),
                steps=steps_of(script),
                agreed=agreed_of(script),
                parameters=called,
                allowed=allowed,
                settings=settings_of(script),
                taken=tuple(sorted(script.folder.taken)),
            )
            if made.settles_work:
                made.route  # noqa: B018  # wrong work is told here, with the line of the script
        return made

    def allowing(self, *codes: str) -> Self:
        """The same design, with more errors that the maker allows."""
        return dataclasses.replace(self, allowed=(*self.allowed, *codes))

    @property
    def revision_id(self) -> str:
        """The maker's revision and a checksum of everything that the knife declares, such as "B-3f2a91c4"."""
        return revision_id(self.knife)

    @property
    def date(self) -> datetime.date | None:
        """The day that the revision names; None where it names none."""
        return revision_date(self.knife)

    @property
    def title(self) -> str:
        """Name and revision, as they stand over every page."""
        return f"{self.knife.name}, revision {self.revision_id}"

    @property
    def weighing(self) -> Weighing:
        """What the knife weighs and where it balances."""
        return weigh(self.knife)

    @property
    def stacks(self) -> tuple[Stack, ...]:
        """The stack at each fastener."""
        return stacks(self.knife)

    @property
    def grind_sheet(self) -> GrindSheet:
        """What the grinder is set to."""
        return grind_sheet(self.knife)

    @property
    def drill_card(self) -> DrillCard:
        """What to drill, with what, how deep and when."""
        return drill_card(self.knife)

    @property
    def handle_sections(self) -> tuple[HandleSection, ...]:
        """The finished handle square to its run, with girths; none without scales."""
        return handle_sections(self.knife)

    @property
    def sensitivity(self) -> tuple[Sensitivity, ...]:
        """What moves the balance: each change made alone, the strongest first."""
        return what_moves_balance(self.weighing)

    @property
    def settles_work(self) -> bool:
        """Whether it is made for an order, or anything is settled of the work: then it has a job card."""
        return self.order is not None or self.work is not None or bool(self.steps)

    @_Told
    def route(self) -> Route:
        """The steps of the work, in working order.

        Raises:
            UnknownNameError: A change names a step that is not there.
            ParameterError: A key given twice, or a treatment for another steel.
        """
        return route(self.knife, self.order, work=self.work, steps=self.steps)

    @property
    def heat_treat_card(self) -> HeatTreatCard | None:
        """How the blade is hardened; None where it is not, or nobody knows how."""
        return self.route.card

    @property
    def inspection(self) -> tuple[Number, ...]:
        """What is measured on the finished knife."""
        return self.route.inspection

    @_Told
    def landings(self) -> tuple[Landing, ...]:
        """Where each requirement of the order lands; none without an order."""
        if self.order is None:
            return ()
        return landings(self.order, self.knife, self.route.keys, self.route.settled)

    @_Told
    def findings(self) -> Findings:
        """What is wrong or worth knowing of the knife, of the order and of the work, errors first."""
        found: tuple[Finding, ...] = check(self.knife)
        if self.settles_work:
            found = (*found, *self.route.findings)
        if self.order is not None:
            found = (*found, *check_order(self.order, self.knife, self.route.keys, self.route.settled))
        if self.agreement is not None:
            found = (*found, *agreement.check_agreed(self.agreement))
        return Findings.ranked(found)

    def agreeing(self, signed: Signed) -> Agreed:
        """What is agreed where maker and customer sign for the design as it is.

        Raises:
            ParameterError: No signature.
        """
        return agreement.agree(signed, self.knife, self.order, self.work, self.steps)

    @_Told
    def agreement(self) -> agreement.Compared | Spoiled | None:
        """What was agreed beside what is now; None where nothing was agreed."""
        if not isinstance(self.agreed, Agreed):
            return self.agreed
        prices = self.settings.price_list if self.agreed.signed.price else None
        now = agreement.offer_now(self.knife, self.order, self.route.keys, prices) if prices else None
        return agreement.Compared(self.agreed, self.agreeing(self.agreed.signed), now)

    @_Told
    def order_findings(self) -> tuple[Finding, ...]:
        """Those that say whether the order is met: of the order, and of work that is not done as it asks."""
        return check_made(self.route)

    @_Told
    def job_card(self) -> Card:
        """What the job card says."""
        return card(self.route, self.remarks)

    @property
    def errors(self) -> tuple[Finding, ...]:
        """The findings that keep it back unless the maker allows them."""
        return errors_of(self.findings)

    @_Told
    def standing(self) -> tuple[Finding, ...]:
        """The errors that the maker does not allow.

        Raises:
            ExportError: Something is allowed, and there is no error.
            UnknownNameError: A code is allowed that no error has.
        """
        return standing_of(self.findings, self.allowed)

    @property
    def released(self) -> bool:
        """Whether it may be cut: no error stands."""
        return not self.standing

    @_Told
    def remarks(self) -> tuple[str, ...]:
        """What every page says: errors that stand, and errors that are allowed."""
        self.standing  # noqa: B018  # a code that allows nothing is told before anything is drawn
        return remarks_of(self.findings, self.allowed)
