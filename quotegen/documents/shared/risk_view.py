"""The rows of the risk table: where the controls stand, ratings on the stated matrix."""

from collections.abc import Iterable, Sequence

from msgspec import Struct

from quotegen.model.safety import Matrix, Rating, Risk, WorkStep
from quotegen.phrases import capital
from quotegen.tables import key_of


class Pair(Struct, frozen=True):
    """A name with its text."""

    name: str
    words: str


class RatingView(Struct, frozen=True):
    """A rating: the letter of its band with likelihood times severity, as H6.

    The style sheet tells it by `key`.
    """

    key: str
    words: str


class RiskView(Struct, frozen=True):
    """One row of the risk table; `doubt` tells whether some or all of it is unknown.

    `steps` are the numbers of the steps that keep to its controls, `sheet` the paragraphs of the
    standing sheet, and `controls` those controls that stand here alone.
    """

    hazard: str
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
    numbers = {step.key: number for number, step in enumerate(steps, 1)}
    return RiskView(
        hazard=risk.hazard,
        doubt=_doubt(risk),
        controls=tuple(one.text for one in risk.controls if not one.number),
        steps=_in_runs(numbers[key] for key in risk.steps if key in numbers),
        sheet=cited(one.number for one in risk.controls),
        before=_rating(risk.before),
        after=_rating(risk.after),
    )


def _doubt(risk: Risk) -> str:
    """How much of a risk is unknown; empty if all of it is known."""
    if not risk.assumed:
        return ""
    return "part not known" if risk.because else "not known"


def cited(numbers: Iterable[str]) -> str:
    """Paragraphs of the standing sheet in order, those that follow one another drawn together.

    >>> cited(["1.2", "1.1", "", "1.4", "2.1", "2.3", "2.4"])
    '1.1–1.2, 1.4, 2.1, 2.3–2.4'
    """
    parts: dict[int, list[int]] = {}
    for number in filter(None, numbers):
        section, _, at = number.partition(".")
        parts.setdefault(int(section), []).append(int(at))
    runs = [(section, run) for section in sorted(parts) for run in _runs(parts[section])]
    return ", ".join("–".join(f"{section}.{at}" for at in run) for section, run in runs)


def _in_runs(numbers: Iterable[int]) -> str:
    """Whole numbers in order, those that follow one another drawn together."""
    return ", ".join("–".join(map(str, run)) for run in _runs(numbers))


def _runs(numbers: Iterable[int]) -> list[tuple[int, ...]]:
    """The first and last of each run of whole numbers, once where it is one.

    >>> _runs([4, 1, 2, 3, 7])
    [(1, 4), (7,)]
    """
    runs: list[tuple[int, ...]] = []
    for number in sorted(set(numbers)):
        if runs and runs[-1][-1] == number - 1:
            runs[-1] = (runs[-1][0], number)
        else:
            runs.append((number,))
    return runs


def _rating(rating: Rating) -> RatingView:
    band, score = capital(rating.band), rating.likelihood * rating.severity
    return RatingView(key_of(rating.band), f"{band[0]}{score}")


def matrix_rows(matrix: Matrix) -> tuple[MatrixRow, ...]:
    """The stated matrix, likelihood by likelihood."""
    return tuple(
        MatrixRow(f"{number} {words}", tuple(map(key_of, bands)), tuple(map(str, bands)))
        for number, (words, bands) in enumerate(
            zip(matrix.likelihood_words, matrix.bands, strict=True), 1
        )
    )
