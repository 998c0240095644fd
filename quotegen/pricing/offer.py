"""What an option includes and leaves undone, in sentences a landlord can hold us to.

No sentence ends with a full stop: the papers set them in the rows of a table.
"""

from quotegen.model.choices import (
    Access,
    Answer,
    BuildUp,
    Covering,
    EdgeKind,
    OpeningKind,
    PriceBasis,
    WallJoint,
)
from quotegen.model.enquiry import Enquiry, Finding
from quotegen.model.settings import Settings
from quotegen.model.takeoff import OptionTakeOff, Stage
from quotegen.phrases import small
from quotegen.reference import loader as reference
from quotegen.takeoff.strip import OLD_DECK
from quotegen.units import mm_to_m

_LADDER = "Ladder access for light work of short duration"
_GROUND = "Work from the ground"
_BOARDS = {"deck_board_": "deck board", "tongued_board_": "tongued board"}
_COLOUR_OPEN = ("", "to be agreed")


def includes(enquiry: Enquiry, option: OptionTakeOff) -> tuple[str, ...]:
    """What the price of an option covers, in the order of the work."""
    items = {need.item for need in option.needs}
    lines = _access_lines(option, items)
    lines += [f"Strip the {old} and take it away" for old in _coverings_off(option)]
    lines += _deck_lines(enquiry, option, items)
    if any(item.startswith("trim_") for item in items):
        lines.append("New trims along every edge, bonded and bandaged into the laminate")
    if option.expansion_m:
        lines.append(f"{option.expansion_m.number:.1f} m of expansion joint across the roof")
    if "trim_flashing" in items:
        lines.append("A new flashing let into the wall and sealed")
    elif _keeps_lead(enquiry):
        lines.append("The old lead flashing lifted and dressed back")
    lines += _opening_lines(enquiry)
    lines.append(_laminate_line(enquiry))
    if enquiry.gutter_mm:
        lines.append(f"{mm_to_m(enquiry.gutter_mm.number):.1f} m of gutter taken off and refitted")
    if enquiry.tiles_mm:
        lines.append(f"{mm_to_m(enquiry.tiles_mm.number):.1f} m of tiles lifted and relaid")
    return tuple(lines)


def leaves_undone(enquiry: Enquiry, option: OptionTakeOff, settings: Settings) -> tuple[str, ...]:
    """What an option leaves as it is, and what may follow."""
    lines = []
    covered = enquiry.existing.covering not in (None, Covering.NONE)
    if covered and not _coverings_off(option):
        lines.append("The old covering stays under the new boards")
    if not _strips_deck(option):
        lines.append("The old deck stays; decay hidden in it may not be found")
    if not any(_is_to_be_done(finding, PriceBasis.FIRRINGS) for finding in enquiry.findings):
        lines.append("The fall of the roof stays as the joists give it; shallow water may stand")
    if not any(need.item.startswith("insulation_") for need in option.needs):
        lines.append("No insulation is added")
    if _keeps_lead(enquiry):
        lines.append("The old lead flashing stays, with whatever life it has left")
    if any(opening.kind is OpeningKind.ROOFLIGHT for opening in enquiry.openings):
        lines.append("The glazing of the rooflight stays, unless new glazing is ordered")
    lines += _to_agree(option, settings)
    lines += [declined_line(finding) for finding in declined(enquiry, option)]
    return tuple(lines)


def _to_agree(option: OptionTakeOff, settings: Settings) -> list[str]:
    """What the customer has to know before choosing: a heavier roof, a low upstand."""
    lines = []
    heavier, left = option.weight_change_pct, option.upstand_left_mm
    if heavier is not None and heavier.number > settings.number("weight_change_pct"):
        lines.append(
            f"The roof becomes {heavier.number:.0f}% heavier: someone competent has to check the "
            "structure before the work, and the check is not in the price"
        )
    least = reference.figure("flat_roofs.upstand_mm")
    if left is not None and left.number < least.number:
        lines.append(
            f"{left.number:.0f} mm of upstand are left at the wall, where {least.number:.0f} mm "
            "are advised: whoever chooses this option agrees to it"
        )
    return lines


def declined(enquiry: Enquiry, option: OptionTakeOff) -> tuple[Finding, ...]:
    """The findings whose advice was turned down and that an option leaves as they are."""
    return tuple(
        finding
        for finding in enquiry.findings
        if finding.answer is Answer.DECLINED and not _done_anyway(finding, option)
    )


def declined_line(finding: Finding) -> str:
    """How an advice that was turned down stands under what is left undone."""
    return f"Declined: {_inside_a_sentence(finding.advised)}"


def _working_from(option: OptionTakeOff) -> str:
    if option.access.chosen in (Access.LADDER, Access.GROUND):
        return _LADDER if option.access.chosen is Access.LADDER else _GROUND
    towers = option.access.towers.number
    several = option.access.chosen is Access.TOWER and towers > 1
    what = f"{towers:.0f} towers" if several else f"A {option.access.chosen}"
    return f"{what} with guard rails, put up, hired and taken away"


def _access_lines(option: OptionTakeOff, items: set[str]) -> list[str]:
    lines = [_working_from(option)]
    if "barrier_hire" in items:
        lines.append("Barriers to keep people out from under the work")
    if any(stage is Stage.ACCESS for stage, _ in option.charges):
        lines.append("The highway authority's licence to stand on the pavement or road")
    return lines


def _deck_lines(enquiry: Enquiry, option: OptionTakeOff, items: set[str]) -> list[str]:
    """The boards from the joists upwards; with insulation the last board lies over it."""
    board = _board(items)
    new_deck = f"{board} as the new deck, screwed to the joists"
    stripped = _strips_deck(option)
    lines = ["Take up the old deck and check the joists"] if stripped else []
    if option.build_up is BuildUp.CAP_OVER and board:
        lines.append(f"{board} over the old deck, screwed through to the joists")
    elif option.build_up is BuildUp.NEW_DECK and board:
        lines.append(new_deck)
    elif option.build_up is BuildUp.NEW_DECK_INSULATED and board and enquiry.insulation_mm:
        lines += [new_deck] if stripped else []
        lines.append(
            f"Vapour control layer and {enquiry.insulation_mm.number:.0f} mm of insulation "
            f"over the {'new' if stripped else 'old'} deck"
        )
        lines.append(f"{board} over the insulation, screwed to the joists")
    if "edge_timber" in items:
        lines.append("Timber round the open edges of the insulation")
    return lines


def _board(items: set[str]) -> str:
    """The board of an option as `18 mm deck board`; empty where it has none."""
    for item in sorted(items):
        for code, words in _BOARDS.items():
            if item.startswith(code):
                return f"{item.removeprefix(code)} mm {words}"
    return ""


def _opening_lines(enquiry: Enquiry) -> list[str]:
    lines = []
    kinds = {opening.kind for opening in enquiry.openings}
    if OpeningKind.ROOFLIGHT in kinds:
        lines.append("The laminate carried up every rooflight kerb")
    if OpeningKind.PIPE in kinds:
        lines.append("The laminate dressed and sealed round every pipe")
    if OpeningKind.OUTLET in kinds:
        lines.append("A new outlet bonded into the laminate")
    return lines


def _laminate_line(enquiry: Enquiry) -> str:
    mat = f"{enquiry.mat_g_m2.number:.0f} g glass mat"
    layers = int(enquiry.mat_layers.number)
    laminate = mat if layers == 1 else f"{layers} layers of {mat}"
    to_agree = enquiry.colour.strip().lower() in _COLOUR_OPEN
    topcoat = "topcoat, colour to be agreed" if to_agree else f"topcoat in {enquiry.colour}"
    return f"Fibreglass laminate of {laminate}, {topcoat}"


def _strips_deck(option: OptionTakeOff) -> bool:
    return any(strip.words == OLD_DECK for strip in option.strip)


def _coverings_off(option: OptionTakeOff) -> list[str]:
    return [strip.words for strip in option.strip if strip.words != OLD_DECK]


def _keeps_lead(enquiry: Enquiry) -> bool:
    kinds = [*enquiry.roof.edges.values(), *(row.kind for row in enquiry.roof.outline_rows)]
    return enquiry.wall_joint is WallJoint.KEEP_LEAD and EdgeKind.WALL in kinds


def _is_to_be_done(finding: Finding, basis: PriceBasis) -> bool:
    return finding.basis is basis and finding.answer is Answer.DO_IT


def _done_anyway(finding: Finding, option: OptionTakeOff) -> bool:
    """Whether an option does a declined work in any case: boards, where the old deck comes up."""
    return finding.basis is PriceBasis.BOARD and _strips_deck(option)


def _inside_a_sentence(advised: str) -> str:
    return small(advised).rstrip(" .")
