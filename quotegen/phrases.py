"""Putting words together: lists in a sentence, capitals, full stops."""

from collections.abc import Sequence


def listed(words: Sequence[str]) -> str:
    """Several words as one phrase.

    >>> listed(["a", "b", "c"])
    'a, b and c'
    """
    *first, last = words
    return f"{', '.join(first)} and {last}" if first else last


def small(words: str) -> str:
    """The words with a small first letter, for use inside a sentence; initials are kept.

    >>> small("Replace the fascia"), small("PVC gutter")
    ('replace the fascia', 'PVC gutter')
    """
    return words if words[1:2].isupper() else words[:1].lower() + words[1:]


def capital(words: str) -> str:
    """The words with a capital first letter, the rest unchanged."""
    return words[:1].upper() + words[1:]


def without_stop(words: str) -> str:
    """The words without a closing full stop, for the middle of a sentence or a table.

    >>> without_stop("Replace the fascia.")
    'Replace the fascia'
    """
    return words.rstrip(" .")


def sentence(words: str) -> str:
    """Typed text on one line, closed with a full stop.

    >>> sentence(" Doors  stay in use "), sentence("")
    ('Doors stay in use.', '')
    """
    line = " ".join(words.split())
    return line if not line or line[-1] in ".!?" else f"{line}."
