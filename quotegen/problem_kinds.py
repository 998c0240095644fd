"""Every kind of problem, declared once: its code, severity, meaning, message and cure.

The documentation page of problems is made from `KINDS`.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """A stop keeps the papers of that enquiry from being made; a warning goes with them."""

    STOP = "stop"
    WARN = "warn"


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of problem: what it is called, what it means, what to say and how to cure it.

    `message` and `cure` are format strings over `seen`, `heading` and the problem's details.
    """

    code: str
    severity: Severity
    meaning: str
    message: str
    cure: str


def _declare(*kinds: Kind) -> dict[str, Kind]:
    table = {kind.code: kind for kind in kinds}
    if len(table) != len(kinds):
        raise ValueError("a kind of problem is declared twice")
    return table


_STOP, _WARN = Severity.STOP, Severity.WARN

KINDS: Mapping[str, Kind] = _declare(
    # Files
    Kind(
        "file-missing",
        _STOP,
        "The file named on the command line is not there.",
        "there is no file at this path",
        "Check the name and the folder.",
    ),
    Kind(
        "file-not-a-workbook",
        _STOP,
        "The file is not an Excel workbook: another kind of file under its name, cut short, or "
        "protected by a password.",
        "this is not a readable .xlsx workbook ({seen})",
        "Open it in your spreadsheet program and save it as .xlsx without a password.",
    ),
    Kind(
        "file-too-large",
        _STOP,
        "The workbook unpacks to far more than enquiries can need.",
        "the workbook unpacks to {seen}, more than can be real",
        "Copy the filled rows into a workbook made by `quotegen blank`.",
    ),
    Kind(
        "file-exists",
        _STOP,
        "A new workbook was asked for under the name of a file that is already there.",
        "there is a file of this name already; it has been left as it is",
        "Choose another name, or move that file away first.",
    ),
    Kind(
        "sheet-missing",
        _STOP,
        "A sheet the program needs is not in the workbook.",
        "the sheet is missing",
        "Make a new workbook with `quotegen blank` and copy that sheet into this one.",
    ),
    Kind(
        "sheet-twice",
        _STOP,
        "Two sheets have the same name but for capitals or spaces.",
        "there are two sheets “{seen}”",
        "Rename or remove one of the two.",
    ),
    Kind(
        "sheet-unknown",
        _WARN,
        "A sheet is not one the program knows; it is not read.",
        "the sheet “{seen}” is not known, so it is not read",
        "Correct its name, or leave it if the sheet is your own.",
    ),
    Kind(
        "heading-missing",
        _STOP,
        "A column heading the program needs is not in row 1 of its sheet.",
        "the heading “{heading}” is missing",
        "Put the heading back in row 1, spelt as in a workbook made by `quotegen blank`.",
    ),
    Kind(
        "heading-twice",
        _STOP,
        "The same column heading stands over two columns.",
        "the heading “{heading}” stands twice",
        "Rename or remove one of the two columns.",
    ),
    Kind(
        "heading-unknown",
        _WARN,
        "A column heading is not one the program knows; the column is not read.",
        "the heading “{heading}” is not known, so this column is not read",
        "Correct the spelling, or leave it if the column is your own.",
    ),
    # Cells
    Kind(
        "cell-missing",
        _STOP,
        "A cell that has to be filled in is empty.",
        "“{heading}” is empty",
        "Fill it in: {needed}.",
    ),
    Kind(
        "cell-not-a-number",
        _STOP,
        "A number cell holds something that is not one plain number.",
        "“{seen}” is not a plain number",
        "Type one number with a full stop for the decimal point and nothing else.",
    ),
    Kind(
        "cell-not-whole",
        _STOP,
        "A cell that counts whole things holds a fraction.",
        "“{seen}” is not a whole number",
        "Type a whole number.",
    ),
    Kind(
        "cell-not-a-length",
        _STOP,
        "A length cell holds something that is not one length.",
        "“{seen}” is not a length",
        "Type millimetres (2400), or the unit with it (2.4 m).",
    ),
    Kind(
        "cell-unit-doubtful",
        _STOP,
        "A length in a millimetre column looks like metres.",
        "{seen} mm is too small to be meant; it looks like metres",
        "Type {as_mm} if you mean {seen} m, or {seen} mm with the unit if you really mean it.",
    ),
    Kind(
        "cell-not-a-date",
        _STOP,
        "A date cell holds something that is not a date.",
        "“{seen}” is not a date",
        "Type the date as day, month and year, such as 25/11/2026.",
    ),
    Kind(
        "cell-not-a-choice",
        _STOP,
        "A cell with a drop-down list holds something that is not on the list.",
        "“{seen}” is not one of the choices",
        "Choose from: {choices}.",
    ),
    Kind(
        "cell-error-value",
        _STOP,
        "A cell holds an error value of the spreadsheet, such as #REF!.",
        "the cell shows the error {seen}",
        "Mend the formula or type the value.",
    ),
    Kind(
        "cell-formula-not-calculated",
        _STOP,
        "A cell holds a formula whose result was never stored in the file.",
        "the formula {seen} has never been calculated",
        "Open the workbook in your spreadsheet program, let it recalculate, and save it.",
    ),
    Kind(
        "cell-out-of-range",
        _STOP,
        "A number is outside what can be real for its column.",
        "{seen} is outside {least} to {most} {unit}",
        "Check the figure and its unit.",
    ),
    # References
    Kind(
        "reference-missing",
        _STOP,
        "A row has entries but no reference.",
        "the row has entries but no reference",
        "Give the row a reference of its own, or clear the row.",
    ),
    Kind(
        "reference-twice",
        _STOP,
        "Two rows of Enquiries carry the same reference.",
        "the reference {seen} is used on more than one row",
        "Give each enquiry a reference of its own.",
    ),
    Kind(
        "reference-unknown",
        _STOP,
        "A row on another sheet names an enquiry that is not on Enquiries.",
        "there is no enquiry {seen}",
        "Correct the reference, or remove the row.",
    ),
    Kind(
        "reference-malformed",
        _STOP,
        "A reference has characters that cannot stand in a file name.",
        "the reference “{seen}” cannot be used as a file name",
        "Use letters, figures, hyphens, full stops and underscores only, 40 at the most.",
    ),
    # Roof
    Kind(
        "size-missing",
        _STOP,
        "The shape needs a size that is empty.",
        "a {shape} needs “{heading}”",
        "Measure it and fill it in.",
    ),
    Kind(
        "size-not-used",
        _WARN,
        "A size is filled in that this shape does not use.",
        "“{heading}” is filled in, but a {shape} does not use it",
        "Clear it, or check the shape.",
    ),
    Kind(
        "shape-impossible",
        _STOP,
        "The sizes cannot make the shape.",
        "these sizes cannot make a {shape}: {reason}",
        "Check the sizes against the sketch.",
    ),
    Kind(
        "outline-missing",
        _STOP,
        "The shape is taken from the Outline sheet, but that has no rows for this reference.",
        "there are no rows for {seen} on the Outline sheet",
        "Add one row for each edge, in order round the roof.",
    ),
    Kind(
        "outline-mixed",
        _STOP,
        "The outline of one roof is given partly by lengths and turns, partly by offsets.",
        "row {row} is not measured the way the outline of {seen} begins",
        "Give length and turn for every edge, or along and out for every corner.",
    ),
    Kind(
        "outline-not-closed",
        _STOP,
        "The measured edges and turns do not come back to where they began.",
        "the outline misses its start by {miss_mm:.0f} mm (up to {tolerance_mm:.0f} mm is allowed)",
        "Check the lengths and turns; measure a diagonal.",
    ),
    Kind(
        "outline-crosses",
        _STOP,
        "The outline crosses itself or has no area.",
        "the outline crosses itself or has no area",
        "Check the order of the rows and the sign of the turns (a turn to the left is negative).",
    ),
    Kind(
        "edge-kind-missing",
        _STOP,
        "An edge of the roof has no kind, so its trim is unknown.",
        "the {edge} edge has no kind",
        "Choose what that edge is, such as drip to gutter or wall upstand.",
    ),
    Kind(
        "opening-too-large",
        _STOP,
        "The openings take up the whole roof.",
        "the openings are larger than the roof",
        "Check the sizes and the reference.",
    ),
    Kind(
        "deck-too-thin",
        _STOP,
        "The new deck board is too thin for the joist centres.",
        "{thickness_mm:.0f} mm board is for joists up to {limit_mm:.0f} mm apart, not {seen} mm",
        "Choose a thicker board or price extra joists.",
    ),
    Kind(
        "cap-over-unsound",
        _STOP,
        "Capping over is asked for on a deck that is not known to be sound.",
        "capping over needs a deck known to be sound; this one is “{seen}”",
        "Look at the deck and say so, or price a new deck instead.",
    ),
    Kind(
        "fact-needed-for-price",
        _STOP,
        "Something about the roof is not known that the price depends on.",
        "{words} is not known, and the price depends on it",
        "Look again, and fill it in on the row.",
    ),
    Kind(
        "access-reason-missing",
        _STOP,
        "A ladder is to be worked from, with no reason on record why nothing better is used.",
        "working from a ladder needs its reason on record",
        "Write the reason in “Reason if a ladder”, or choose a tower or scaffold.",
    ),
    Kind(
        "temperature-outside-limits",
        _WARN,
        "The expected deck temperature is outside what the resin may be laid at.",
        "{seen} °C is outside {least} to {most} °C: no laminating at that temperature",
        "Plan for a day inside the limits; the mix card stops at them.",
    ),
    Kind(
        "reverse-charge-possible",
        _WARN,
        "The customer is in the trade, so the domestic reverse charge may apply.",
        "for a trade customer the VAT domestic reverse charge may apply",
        "Ask for the customer's VAT and CIS status in writing before you invoice.",
    ),
    Kind(
        "photo-missing",
        _WARN,
        "A photo or logo named in the workbook is not in its folder.",
        "the picture “{seen}” is not there or is not a picture",
        "Put the file beside the workbook, or correct the name.",
    ),
    # Settings
    Kind(
        "setting-missing",
        _STOP,
        "A setting with no sensible default is empty.",
        "“{words}” ({seen}) is not filled in",
        "Fill it in on the {sheet} sheet.",
    ),
    Kind(
        "setting-unknown",
        _WARN,
        "A row of a settings sheet has a code the program does not know; it is not read.",
        "the code “{seen}” is not known, so this row is not read",
        "Correct the code, or remove the row.",
    ),
    Kind(
        "setting-twice",
        _STOP,
        "A setting stands on two rows.",
        "the code “{seen}” stands on two rows",
        "Remove one of them.",
    ),
    Kind(
        "language-unknown",
        _STOP,
        "The language of the papers is not one the program can write dates and money in.",
        "“{seen}” is not a language and country the papers can be written for",
        "Set locale on the Business sheet to one such as en_GB or en_IE.",
    ),
    Kind(
        "currency-unknown",
        _STOP,
        "The currency of the papers is not a currency code.",
        "“{seen}” is not a currency code",
        "Set currency on the Business sheet to three letters such as GBP or EUR.",
    ),
    # Prices
    Kind(
        "price-list-none",
        _STOP,
        "No price list was named and none lies in the `prices` folder beside the workbook.",
        "there is no price list to price with",
        "Name one with --prices, or put it in a folder called prices beside the workbook.",
    ),
    Kind(
        "price-missing",
        _STOP,
        "A job needs an item that no price list prices.",
        "no price list has “{seen}” ({words}), which this job needs",
        "Add a row for that item to a price list.",
    ),
    Kind(
        "price-old",
        _WARN,
        "A price used is older than the firm's limit.",
        "the price of {seen} is from {dated}, {age_days} days old",
        "Ask the supplier and change the price and its date.",
    ),
    Kind(
        "price-dated-ahead",
        _WARN,
        "A price is dated after the day of the quote.",
        "the price of {seen} is dated {dated}, after this quote",
        "Check the date.",
    ),
    Kind(
        "price-item-unknown",
        _WARN,
        "A price list has an item the program does not know; it is not read.",
        "the item “{seen}” is not known, so this row is not read",
        "Use an item code from the list in the guide.",
    ),
    Kind(
        "price-unit-differs",
        _STOP,
        "A price is per a unit other than the one the item is counted in.",
        "{item} is counted in {unit}, not “{seen}”",
        "Give the pack size in {unit}.",
    ),
    Kind(
        "price-twice",
        _STOP,
        "The same pack of an item from the same supplier stands on two rows.",
        "{supplier}'s pack of {size} {unit} of {seen} is priced on two rows",
        "Remove the row that is out of date.",
    ),
    # Output
    Kind(
        "output-blocked",
        _STOP,
        "A file could not be written: open in another program, or a folder that may not be "
        "written to.",
        "the file could not be written ({seen})",
        "Close it in the other program, or choose another folder with --out.",
    ),
)
