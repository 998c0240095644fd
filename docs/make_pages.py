"""Write the generated pages of docs/: `python docs/make_pages.py`.

A test compares them with the committed ones, so a stale page fails.
"""

from collections.abc import Iterable, Sequence
from pathlib import Path

import click

from quotegen.cli.commands import cli
from quotegen.problem_kinds import PROBLEM_KINDS
from quotegen.reference import loader, rules
from quotegen.reference.between import Published, everything
from quotegen.reference.rule_records import Basis
from quotegen.safety.rules.hazards import level_of
from quotegen.tables import CONFIRMED
from quotegen.workbook.writing.columns_page import columns_page

HERE = Path(__file__).parent
MADE = "This page is made from the code by docs/make_pages.py. Change the code, not this page."


def pages() -> dict[str, str]:
    """Every generated page by file name."""
    return {
        "columns.md": columns_page(),
        "commands.md": commands_page(),
        "hazards.md": hazards_page(),
        "how-sure.md": how_sure_page(),
        "problems.md": problems_page(),
        "references.md": references_page(),
    }


def commands_page() -> str:
    """The help of every command."""
    parts = ["# Commands", MADE, _help(cli, "quotegen")]
    for name in sorted(cli.commands):
        parts += [f"## {name}", _help(cli.commands[name], f"quotegen {name}")]
    return "\n\n".join(parts) + "\n"


def problems_page() -> str:
    """Every kind of problem: its code, its meaning and its cure."""
    rows = [
        (kind.code, str(kind.severity), kind.meaning, kind.cure) for kind in PROBLEM_KINDS.values()
    ]
    return (
        "\n\n".join(
            [
                "# Problems",
                MADE,
                "A stop keeps the papers of the enquiry it belongs to from being made; the others "
                "are still made. A warning goes with them.",
                _table(("Code", "Severity", "What it means", "How to put it right"), rows),
            ]
        )
        + "\n"
    )


def references_page() -> str:
    """Every published value with its source and how it was checked."""
    parts = [
        "# Published values",
        MADE,
        "The safety data sheet of what was bought, local codes and licensed practice come before "
        "every value here. “From memory” means that nobody has read it in the source yet.",
    ]
    heads = ("Key", "What it is", "Value", "Source", "In force from", "Confirmed", "Note")
    for name in loader.subjects():
        rows = [
            (
                entry.key,
                entry.words,
                f"{entry.value} {entry.unit}".strip(),
                entry.citation,
                entry.begins.isoformat() if entry.begins else "",
                _confirmed(entry),
                entry.note,
            )
            for entries in loader.subject(name).values()
            for entry in entries
        ]
        parts += [f"## {name.replace('_', ' ').capitalize()}", _table(heads, rows)]
    return "\n\n".join(parts) + "\n"


def how_sure_page() -> str:
    """Every value and rule by how sure it is, those that protect people first."""
    found = sorted(everything(), key=lambda one: (not one.protects, one.table, one.key))
    counts = [
        (
            confirmed,
            *(
                str(sum(one.life.confirmed == confirmed and of(one) for one in found))
                for of in (_is_value, _is_rule)
            ),
        )
        for confirmed in CONFIRMED
    ]
    parts = [
        "# How sure each value and rule is",
        MADE,
        "Nobody reads a law into a page for good: each line says how it was confirmed and by when "
        "it is to be read again. “Common practice” has no source and wants none; “from memory” is "
        "what nobody has read yet.",
        _table(("How it was confirmed", "Published values", "Rules and sentences"), counts),
    ]
    heads = ("Table", "Key", "What it says", "Protects", "Source", "Address", "Read again by")
    for confirmed in reversed(CONFIRMED):
        rows = [
            (
                one.table,
                one.key,
                one.says,
                "people" if one.protects else "",
                one.life.source,
                one.life.address,
                one.life.to_be_read_by.isoformat() if one.life.to_be_read_by else "",
            )
            for one in found
            if one.life.confirmed == confirmed
        ]
        parts += [f"## {confirmed.capitalize()}", _table(heads, rows)]
    return "\n\n".join(parts) + "\n"


def _is_value(one: Published) -> bool:
    return isinstance(one.life, loader.PublishedValue)


def _is_rule(one: Published) -> bool:
    return not _is_value(one)


def hazards_page() -> str:
    """The rule table of hazards: what brings each in, and its controls in order."""
    parts = [
        "# Hazards",
        MADE,
        "A hazard is on the method statement when its facts are present; a fact that is not known "
        "counts as present. Words in braces are filled with published values and the figures of "
        "the job.",
    ]
    for rule in rules.hazards():
        when = "; ".join(
            text
            for text in (
                f"all of {', '.join(rule.when.all_of)}" if rule.when.all_of else "",
                f"any of {', '.join(rule.when.any_of)}" if rule.when.any_of else "",
            )
            if text
        )
        basis = rule.basis
        parts += [
            f"## {rule.hazard}",
            f"Who: {rule.who}. When: {when or 'always'}. Source: {basis.source} "
            f"({_confirmed(basis)}).",
            "\n".join(f"- {level_of(rule, c)}: {c.line.text}" for c in rule.controls),
        ]
    return "\n\n".join(parts) + "\n"


def _help(command: click.Command, name: str) -> str:
    context = click.Context(command, info_name=name, max_content_width=80, terminal_width=80)
    return f"```text\n{command.get_help(context)}\n```"


def _confirmed(basis: loader.PublishedValue | Basis) -> str:
    """How it was confirmed, on which day, and the public page read."""
    day = basis.checked.isoformat() if basis.checked else ""
    return ", ".join(part for part in (basis.confirmed, day, basis.address) if part)


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    lines = [_row(heads), _row(["---"] * len(heads)), *(_row(row) for row in rows)]
    return "\n".join(lines)


def _row(cells: Sequence[str]) -> str:
    return "| " + " | ".join(cell.replace("|", "\\|").replace("\n", " ") for cell in cells) + " |"


def main() -> None:
    """Write every generated page."""
    for name, text in pages().items():
        (HERE / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
