"""The rows of the risk table: where the controls stand, ratings on the stated matrix."""

from collections.abc import Iterable, Sequence

from msgspec import Struct

from quotegen.model.safety import Matrix, Rating, Risk, WorkStep
from quotegen.tables import key_of


class Pair(Struct, frozen=True):
    """A name with its text."""

    name: str
    words: str


class RatingView(Struct, frozen=True):
    """A rating in words and figures; the style sheet tells its band by `key`."""

    key: str
    band: str
    words: str


class RiskView(Struct, frozen=True):
    """One row of the risk table; `doubt` tells whether some or all of it is unknown.

    `steps` are the numbers of the steps that keep to its controls, `sheet` the paragraphs of the
    standing sheet, and `controls` those controls that stand here alone.
    """

    hazard: str
    who: str
    doubt: str
    controls: tuple[str, ...]
    steps: str
    sheet: str
    before: RatingView
    after: RatingView


class MatrixRow(Struct, frozen=True):
    """One likelihood of the stated matrix with its band under each severity, key and words."""

    words: str
    keys: tuple[str, ...]
    bands: tuple[str, ...]


def risk_view(risk: Risk, steps: Sequence[WorkStep]) -> RiskView:
    """A risk with its ratings in words, and where each of its controls stands."""
    numbers = {step.key: str(number) for number, step in enumerate(steps, 1)}
    return RiskView(
        hazard=risk.hazard,
        who=risk.who,
        doubt=_doubt(risk),
        controls=tuple(one.text for one in risk.controls if not one.number),
        steps=", ".join(numbers[key] for key in risk.steps if key in numbers),
        sheet=cited(one.number for one in risk.controls),
        before=_rating(risk.before),
        after=_rating(risk.after),
    )


def _doubt(risk: Risk) -> str:
    """How much of a risk is unknown; empty where all of it is known."""
    if not risk.assumed:
        return ""
    return "part not known" if risk.because else "not known"


def cited(numbers: Iterable[str]) -> str:
    """Paragraphs of the standing sheet in order, those that follow one another drawn together.

    >>> cited(["1.2", "1.1", "", "1.4", "1.3", "2.1", "2.3", "2.4"])
    '1.1–1.4, 2.1, 2.3, 2.4'
    """
    found = sorted({_parted(number) for number in numbers if number})
    runs: list[list[tuple[int, int]]] = []
    for section, at in found:
        if runs and runs[-1][-1] == (section, at - 1):
            runs[-1].append((section, at))
        else:
            runs.append([(section, at)])
    return ", ".join(_run(run) for run in runs)


def _parted(number: str) -> tuple[int, int]:
    section, _, at = number.partition(".")
    return int(section), int(at)


def _run(run: Sequence[tuple[int, int]]) -> str:
    """One run of paragraphs; two of them are named each."""
    names = [f"{section}.{at}" for section, at in run]
    return f"{names[0]}–{names[-1]}" if len(names) > 2 else ", ".join(names)


def _rating(rating: Rating) -> RatingView:
    return RatingView(
        key_of(rating.band), str(rating.band), f"{rating.likelihood}×{rating.severity}"
    )


def matrix_rows(matrix: Matrix) -> tuple[MatrixRow, ...]:
    """The stated matrix, likelihood by likelihood."""
    return tuple(
        MatrixRow(f"{number} {words}", tuple(map(key_of, bands)), tuple(map(str, bands)))
        for number, (words, bands) in enumerate(
            zip(matrix.likelihood_words, matrix.bands, strict=True), 1
        )
    )
