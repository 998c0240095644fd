"""The risks of a job as their table shows them: controls by level, ratings on the stated matrix."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from quotegen.documents.paper import capital
from quotegen.model.safety import Control, Matrix, Rating, Risk


@dataclass(frozen=True, slots=True)
class Pair:
    """A name and what is said of it."""

    name: str
    words: str


@dataclass(frozen=True, slots=True)
class RatingView:
    """A rating in words and figures."""

    band: str
    words: str


@dataclass(frozen=True, slots=True)
class RiskView:
    """One row of the risk table.

    `doubted` says that nobody knows whether the hazard is there at all; `not_known` names what else
    is not known of it.
    """

    hazard: str
    who: str
    doubted: bool
    not_known: str
    controls: tuple[Pair, ...]
    before: RatingView
    after: RatingView


@dataclass(frozen=True, slots=True)
class MatrixRow:
    """One likelihood of the stated matrix with its band under each severity."""

    words: str
    bands: tuple[str, ...]


def risk_view(risk: Risk) -> RiskView:
    """A risk with its controls by level and its ratings in words."""
    return RiskView(
        hazard=risk.hazard,
        who=risk.who,
        doubted=_doubted(risk),
        not_known=_not_known(risk),
        controls=_by_level(risk.controls),
        before=_rating(risk.before),
        after=_rating(risk.after),
    )


def _doubted(risk: Risk) -> bool:
    return not risk.because and len(risk.assumed) == 1


def _not_known(risk: Risk) -> str:
    """What is not known of a risk and how it is treated; nothing where the mark says it."""
    if not risk.assumed or _doubted(risk):
        return ""
    return f"Not known, treated as so: {'; '.join(risk.assumed)}."


def _by_level(controls: Sequence[Control]) -> tuple[Pair, ...]:
    """The controls of each level together under its name, in the order they stand."""
    return tuple(
        Pair(capital(level), " ".join(control.text for control in found))
        for level, found in groupby(controls, key=lambda control: control.level)
    )


def _rating(rating: Rating) -> RatingView:
    return RatingView(str(rating.band), f"{rating.likelihood} × {rating.severity}")


def matrix_rows(matrix: Matrix) -> tuple[MatrixRow, ...]:
    """The stated matrix, likelihood by likelihood."""
    return tuple(
        MatrixRow(f"{number} {words}", tuple(str(band) for band in bands))
        for number, (words, bands) in enumerate(
            zip(matrix.likelihood_words, matrix.bands, strict=True), 1
        )
    )
