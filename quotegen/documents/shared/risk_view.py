"""The rows of the risk table: controls by level, ratings on the stated matrix."""

from collections.abc import Sequence
from itertools import groupby

from msgspec import Struct

from quotegen.model.safety import Control, Matrix, Rating, Risk
from quotegen.phrases import capital
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
    """One row of the risk table; `doubt` tells whether some or all of it is unknown."""

    hazard: str
    who: str
    doubt: str
    controls: tuple[Pair, ...]
    before: RatingView
    after: RatingView


class MatrixRow(Struct, frozen=True):
    """One likelihood of the stated matrix with its band under each severity, key and words."""

    words: str
    keys: tuple[str, ...]
    bands: tuple[str, ...]


def risk_view(risk: Risk) -> RiskView:
    """A risk with its controls by level and its ratings in words."""
    return RiskView(
        hazard=risk.hazard,
        who=risk.who,
        doubt=_doubt(risk),
        controls=_by_level(risk.controls),
        before=_rating(risk.before),
        after=_rating(risk.after),
    )


def _doubt(risk: Risk) -> str:
    """How much of a risk is unknown; empty if all of it is known."""
    if not risk.assumed:
        return ""
    return "part not known" if risk.because else "not known"


def _by_level(controls: Sequence[Control]) -> tuple[Pair, ...]:
    """The controls grouped under the name of their level, in their own order."""
    return tuple(
        Pair(capital(level), " ".join(control.text for control in found))
        for level, found in groupby(controls, key=lambda control: control.level)
    )


def _rating(rating: Rating) -> RatingView:
    return RatingView(
        key_of(rating.band), str(rating.band), f"{rating.likelihood} × {rating.severity}"
    )


def matrix_rows(matrix: Matrix) -> tuple[MatrixRow, ...]:
    """The stated matrix, likelihood by likelihood."""
    return tuple(
        MatrixRow(f"{number} {words}", tuple(map(key_of, bands)), tuple(map(str, bands)))
        for number, (words, bands) in enumerate(
            zip(matrix.likelihood_words, matrix.bands, strict=True), 1
        )
    )
