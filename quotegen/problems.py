"""Problems with the user's data: kind, place, and what was seen.

Readers and checks return lists of `Problem`; they never raise or print them. Tests compare the code
and the place, not the sentence. The kinds are declared in `problem_kinds`.
"""

from collections.abc import Iterable, Mapping

from msgspec import Struct, field

from quotegen.problem_kinds import PROBLEM_KINDS, Kind, Severity


class Place(Struct, frozen=True):
    """Where a problem is: a file, and within it a sheet, a cell and its heading."""

    book: str
    sheet: str = ""
    cell: str = ""
    heading: str = ""

    def __str__(self) -> str:
        if not self.sheet:
            return self.book
        where = f"{self.sheet}!{self.cell}" if self.cell else self.sheet
        return f"{where} ({self.heading})" if self.heading else where


class Problem(Struct, frozen=True):
    """One problem: its kind, its place, what was seen, and the enquiry it concerns.

    An empty `ref` means that it concerns the whole workbook or price list.
    """

    code: str
    place: Place
    seen: str = ""
    ref: str = ""
    details: Mapping[str, object] = field(default_factory=dict)

    @property
    def kind(self) -> Kind:
        """The kind this problem is declared as."""
        return PROBLEM_KINDS[self.code]

    @property
    def severity(self) -> Severity:
        """Stop or warning."""
        return self.kind.severity

    @property
    def stops(self) -> bool:
        """Whether the papers of the enquiry are stopped."""
        return self.severity is Severity.STOP

    @property
    def message(self) -> str:
        """What is wrong, as a sentence."""
        return self.kind.message.format_map(self._words)

    @property
    def cure(self) -> str:
        """How to put it right, as a sentence."""
        return self.kind.cure.format_map(self._words)

    @property
    def _words(self) -> dict[str, object]:
        return {"seen": self.seen, "heading": self.place.heading, **self.details}

    def to_data(self) -> dict[str, str]:
        """The problem as plain data for JSON."""
        return {
            "code": self.code,
            "severity": str(self.severity),
            "ref": self.ref,
            "book": self.place.book,
            "sheet": self.place.sheet,
            "cell": self.place.cell,
            "heading": self.place.heading,
            "seen": self.seen,
            "message": self.message,
            "cure": self.cure,
        }


def problem(code: str, place: Place, seen: str = "", ref: str = "", **details: object) -> Problem:
    """Make a problem of a declared kind; an undeclared code is our own fault.

    >>> problem("reference-missing", Place("jobs.xlsx", "Enquiries", "A3", "Reference")).stops
    True
    """
    if code not in PROBLEM_KINDS:
        raise KeyError(f"undeclared kind of problem: {code}")
    return Problem(code, place, seen, ref, details)


def once(problems: Iterable[Problem]) -> list[Problem]:
    """Problems without duplicates, in the order found."""
    alike: dict[tuple[str, Place, str, str], list[Problem]] = {}
    found = []
    for one in problems:
        same = alike.setdefault((one.code, one.place, one.seen, one.ref), [])
        if one not in same:
            same.append(one)
            found.append(one)
    return found


def stopping(problems: Iterable[Problem], ref: str) -> list[Problem]:
    """The problems that stop the papers of an enquiry."""
    return [p for p in problems if p.stops and p.ref in ("", ref)]
