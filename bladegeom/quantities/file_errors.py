"""Exceptions of files and papers: what cannot be read, and what is not written or handed out."""

from __future__ import annotations

from collections.abc import Iterable

from bladegeom.quantities.errors import BladegeomError


class ScriptError(BladegeomError):
    """A maker's script that cannot be read, fails, or declares no design.

    >>> from bladegeom import Design
    >>> try:
    ...     Design.from_script(folder / "none.py")
    ... except ScriptError as error:
    ...     print(error.line)
    ...
    None
    """

    def __init__(self, path: str, message: str, line: int | None = None) -> None:
        self.path = path
        self.reason = message
        self.line = line
        where = path if line is None else f"{path}, line {line}"
        super().__init__(f"{where}: {message}")


class QuoteError(BladegeomError, ValueError):
    """A quote that cannot be handed out, because something in it has no price.

    >>> from bladegeom import starter_prices, quote, quote_sheet
    >>> path = folder / "prices.toml"
    >>> _ = path.write_text(starter_prices())
    >>> try:
    ...     quote_sheet(quote(design, path), customer=True)
    ... except QuoteError as error:
    ...     print(str(error)[:27])
    ...
    the quote is INCOMPLETE, an
    """


class ExportError(BladegeomError, OSError):
    """A file that cannot be written, or that does not measure true when read back.

    >>> from bladegeom import template
    >>> try:
    ...     template(design).save("template.txt")
    ... except ExportError as error:
    ...     print(error)
    ...
    save template.txt: name a file that ends with .pdf or .svg
    """


class NotReleasedError(BladegeomError, ValueError):
    """A cut file of a design with errors that the maker does not allow; ``codes`` are theirs.

    >>> import dataclasses
    >>> from bladegeom import Design, Hole, cut_files
    >>> hole = Hole(x=-30.0, y=-2.0, diameter=5.0, purpose="lightening")
    >>> faulty = Design(dataclasses.replace(knife, holes=(hole,)))
    >>> try:
    ...     cut_files(faulty)
    ... except NotReleasedError as error:
    ...     print(error.codes)
    ...
    ('edge-distance', 'rim')
    """

    def __init__(self, codes: Iterable[str], message: str) -> None:
        self.codes = tuple(dict.fromkeys(codes))
        super().__init__(message)


class UnreadableFileError(BladegeomError, ValueError):
    """A file that cannot be read: another kind, damaged, too large, or with a slip in it, whose ``line`` is told.

    >>> from bladegeom import preflight
    >>> path = folder / "part.dxf"
    >>> _ = path.write_text("no drawing")
    >>> try:
    ...     preflight(path)
    ... except UnreadableFileError as error:
    ...     print(error.name)
    ...
    part.dxf
    """

    def __init__(self, name: str, reason: str, line: int | None = None) -> None:
        self.name = name
        self.reason = reason
        self.line = line
        super().__init__(f"{name}: {reason}" if line is None else f"{name}, line {line}: {reason}")
