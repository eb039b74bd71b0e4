"""Writing down that a page was agreed on: beside the script, with the older agreement kept."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Final

from bladegeom.agreement.agreed import Agreed
from bladegeom.agreement.agreed_toml import MOST_BYTES, agreed_text
from bladegeom.agreement.page_parts import PageQuestion
from bladegeom.agreement.signed import Answered
from bladegeom.quantities.errors import AgreementError, UnknownNameError
from bladegeom.quantities.paths import agreed_file
from bladegeom.quantities.text_file import bounded_bytes
from bladegeom.writers.files import write_all
from bladegeom.writers.ownership import require_replaceable, writing_over

_KEPT: Final = re.compile(r'^date = "?(\d{4}-\d\d-\d\d)', re.MULTILINE)
"""The day in an older agreement; one that cannot be read is kept all the same."""


def answers_to(questions: Sequence[PageQuestion], told: Mapping[str, str], *, leave_open: bool) -> tuple[Answered, ...]:
    """The answers to the questions of a page, in its order.

    Args:
        questions: That are open on the page.
        told: Answers by the questions' letters.
        leave_open: Whether it is agreed on although a question that must be answered is not.

    Raises:
        UnknownNameError: No question has that letter.
        AgreementError: A question that must be answered is not.
    """
    letters = {question.letter: question for question in questions}
    for letter in told:
        if letter not in letters:
            raise UnknownNameError("question of the page", letter, letters, near=())
    left = [question for question in questions if question.must and question.letter not in told]
    if left and not leave_open:
        asked = ", ".join(f"{question.letter} ({question.words})" for question in left)
        raise AgreementError(
            f"not agreed: {len(left)} question{'' if len(left) == 1 else 's'} of the page must be answered first: "
            f"{asked}; answer by --answer '{left[0].letter}=...', or say --leave-open"
        )
    return tuple(
        Answered(question=question.words, answer=told[question.letter])
        for question in questions
        if question.letter in told
    )


def write_agreed(script: Path, agreed: Agreed, *, again: bool) -> tuple[Path, ...]:
    """Write what was agreed beside a script; an older agreement is kept under its day.

    Args:
        script: Of the design.
        agreed: What was agreed.
        again: Whether another agreement may be replaced.

    Returns:
        What was written, the new agreement first.

    Raises:
        AgreementError: There is one already, and nobody said that it is agreed on again.
        ExportError: A file cannot be written, or something else than a plain file of text stands there.
        UnreadableFileError: What stands there cannot be read, or is far too long for an agreement.
    """
    path = agreed_file(script)
    files = {path.name: agreed_text(agreed).encode()}
    if path.exists():
        if not again:
            raise AgreementError(
                f"{path} holds an agreement already: where this one takes its place, say --again; the older one is "
                "kept beside it"
            )
        with writing_over():
            require_replaceable(path, files[path.name])
        older = bounded_bytes(path, most_bytes=MOST_BYTES, advice="that is no agreement; move it away")
        files[_kept_as(path, older).name] = older
    # Whatever stood there is kept.
    with writing_over():
        return write_all(path.parent, files)


def _kept_as(path: Path, older: bytes) -> Path:
    """A name that no file has yet."""
    found = _KEPT.search(older.decode(errors="replace"))
    stem = f"{path.name.removesuffix('.toml')}-{found[1] if found else 'older'}"
    names = (path.with_name(f"{stem}{f'-{i}' if i > 1 else ''}.toml") for i in range(1, 1000))
    return next(name for name in names if not name.exists())
