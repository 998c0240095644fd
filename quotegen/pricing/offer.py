"""What an option includes and leaves undone, in sentences a landlord can hold us to.

No sentence ends with a full stop: the papers set them in the rows of a table.
"""

from quotegen import wording
from quotegen.model.choices import (
    Access,
    Answer,
    BowTrims,
    BuildUp,
    ComesOff,
    Covering,
    EdgeKind,
    Included,
    OpeningKind,
    PriceBasis,
    Shape,
    Undone,
    WallJoint,
)
from quotegen.model.enquiry import Enquiry, Finding
from quotegen.model.quote import OfferLine
from quotegen.model.settings import Settings
from quotegen.model.takeoff import OptionTakeOff, Stage
from quotegen.phrases import small
from quotegen.reference import loader as reference
from quotegen.takeoff.trims.trim_fixings import bandaged_words
from quotegen.units import mm_to_m

_LADDER = "Ladder access for light work of short duration"
_GROUND = "Work from the ground"
_BOARDS = {"deck_board_": "deck board", "tongued_board_": "tongued board"}
_COLOUR_OPEN = ("", "to be agreed")


def includes(enquiry: Enquiry, option: OptionTakeOff, settings: Settings) -> tuple[OfferLine, ...]:
    """What the price of an option covers, in the order of the work."""
    items = {need.item for need in option.needs}
    lines = _access_lines(option, items)
    lines += [
        OfferLine(Included.STRIP, f"Strip the {old} and take it away")
        for old in _coverings_off(option)
    ]
    lines += _deck_lines(enquiry, option, items)
    if any(item.startswith("trim_") for item in items):
        lines.append(OfferLine(Included.TRIMS, _trims_words(enquiry, option, settings)))
    if option.expansion_m:
        joint = (
            f"{wording.number(option.expansion_m.number, 1)} m of expansion joint across the roof"
        )
        lines.append(OfferLine(Included.EXPANSION, joint))
    if "trim_flashing" in items:
        flashing = "A new flashing let into the wall and sealed"
        lines.append(OfferLine(Included.FLASHING, flashing))
    elif _keeps_lead(enquiry):
        lead = "The old lead flashing lifted and dressed back"
        lines.append(OfferLine(Included.LEAD_BACK, lead))
    lines += _opening_lines(enquiry)
    lines.append(_laminate_line(enquiry))
    if enquiry.gutter_mm:
        gutter = (
            f"{wording.number(mm_to_m(enquiry.gutter_mm.number), 1)} m of gutter taken off and "
            "refitted"
        )
        lines.append(OfferLine(Included.GUTTER, gutter))
    if enquiry.tiles_mm:
        tiles = (
            f"{wording.number(mm_to_m(enquiry.tiles_mm.number), 1)} m of tiles lifted and relaid"
        )
        lines.append(OfferLine(Included.TILES, tiles))
    return tuple(lines)


def _trims_words(enquiry: Enquiry, option: OptionTakeOff, settings: Settings) -> str:
    """The trims, how they go round a bow, and what of them and of the boards is bandaged."""
    bow = enquiry.roof.shape is Shape.BOW
    curve = {
        BowTrims.SLIT: ", slit and bent round the bow",
        BowTrims.SHORT: ", in short pieces round the bow",
    }
    how = curve[BowTrims(settings.text("bow_trims"))] if bow else ""
    bandaged = bandaged_words(settings, option.boards, curved=bow)
    return f"New trims along every edge{how}, bonded; {bandaged} bandaged into the laminate"


def leaves_undone(
    enquiry: Enquiry, option: OptionTakeOff, settings: Settings
) -> tuple[OfferLine, ...]:
    """What an option leaves as it is, and what may follow."""
    lines = []
    covered = enquiry.existing.covering not in (None, Covering.NONE)
    if covered and not _coverings_off(option):
        stays = "The old covering stays under the new boards"
        lines.append(OfferLine(Undone.COVERING_STAYS, stays))
    if not _strips_deck(option):
        stays = "The old deck stays; decay hidden in it may not be found"
        lines.append(OfferLine(Undone.DECK_STAYS, stays))
    if not any(_is_to_be_done(finding, PriceBasis.FIRRINGS) for finding in enquiry.findings):
        stays = "The fall of the roof stays as the joists give it; shallow water may stand"
        lines.append(OfferLine(Undone.FALL_STAYS, stays))
    if not any(need.item.startswith("insulation_") for need in option.needs):
        lines.append(OfferLine(Undone.NO_INSULATION, "No insulation is added"))
    if _keeps_lead(enquiry):
        stays = "The old lead flashing stays, with whatever life it has left"
        lines.append(OfferLine(Undone.LEAD_STAYS, stays))
    if any(opening.kind is OpeningKind.ROOFLIGHT for opening in enquiry.openings):
        stays = "The glazing of the rooflight stays, unless new glazing is ordered"
        lines.append(OfferLine(Undone.GLAZING_STAYS, stays))
    lines += _to_agree(option, settings)
    lines += [
        OfferLine(Undone.DECLINED, f"Declined: {_inside_a_sentence(finding.advised)}")
        for finding in declined(enquiry, option)
    ]
    return tuple(lines)


def _to_agree(option: OptionTakeOff, settings: Settings) -> list[OfferLine]:
    """What the customer has to know before choosing: a heavier roof, a low upstand."""
    lines = []
    heavier, left = option.weight_change_pct, option.upstand_left_mm
    if heavier is not None and heavier.number > settings.number("weight_change_pct"):
        words = (
            f"The roof becomes {wording.number(heavier.number)}% heavier: someone competent has "
            "to check the "
            "structure before the work, and the check is not in the price"
        )
        lines.append(OfferLine(Undone.HEAVIER, words))
    least = reference.figure("flat_roofs.upstand_mm")
    if left is not None and left.number < least.number:
        words = (
            f"{wording.mm(left.number)} of upstand are left at the wall, where "
            f"{wording.mm(least.number)} are advised: whoever chooses this option agrees to it"
        )
        lines.append(OfferLine(Undone.UPSTAND, words))
    return lines


def declined(enquiry: Enquiry, option: OptionTakeOff) -> tuple[Finding, ...]:
    """The findings whose advice was turned down and that an option leaves as they are."""
    return tuple(
        finding
        for finding in enquiry.findings
        if finding.answer is Answer.DECLINED and not _done_anyway(finding, option)
    )


def _working_from(option: OptionTakeOff) -> str:
    if option.access.chosen in (Access.LADDER, Access.GROUND):
        return _LADDER if option.access.chosen is Access.LADDER else _GROUND
    towers = option.access.towers.number
    several = option.access.chosen is Access.TOWER and towers > 1
    what = f"{wording.number(towers)} towers" if several else f"A {option.access.chosen}"
    return f"{what} with guard rails, put up, hired and taken away"


def _access_lines(option: OptionTakeOff, items: set[str]) -> list[OfferLine]:
    lines = [OfferLine(Included.ACCESS, _working_from(option))]
    if "barrier_hire" in items:
        barriers = "Barriers to keep people out from under the work"
        lines.append(OfferLine(Included.BARRIERS, barriers))
    if any(stage is Stage.ACCESS for stage, _ in option.charges):
        licence = "The highway authority's licence to stand on the pavement or road"
        lines.append(OfferLine(Included.LICENCE, licence))
    return lines


def _deck_lines(enquiry: Enquiry, option: OptionTakeOff, items: set[str]) -> list[OfferLine]:
    """The boards from the joists upwards; with insulation the last board lies over it."""
    board = _board(items)
    new_deck = OfferLine(Included.NEW_DECK, f"{board} as the new deck, screwed to the joists")
    stripped = _strips_deck(option)
    up = OfferLine(Included.DECK_UP, "Take up the old deck and check the joists")
    lines = [up] if stripped else []
    if option.build_up is BuildUp.CAP_OVER and board:
        cap = f"{board} over the old deck, screwed through to the joists"
        lines.append(OfferLine(Included.CAP, cap))
    elif option.build_up is BuildUp.NEW_DECK and board:
        lines.append(new_deck)
    elif option.build_up is BuildUp.NEW_DECK_INSULATED and board and enquiry.insulation_mm:
        lines += [new_deck] if stripped else []
        insulation = (
            f"Vapour control layer and {wording.mm(enquiry.insulation_mm.number)} of insulation "
            f"over the {'new' if stripped else 'old'} deck"
        )
        over = f"{board} over the insulation, screwed to the joists"
        lines.append(OfferLine(Included.INSULATION, insulation))
        lines.append(OfferLine(Included.BOARD_OVER_INSULATION, over))
    if "edge_timber" in items:
        timber = "Timber round the open edges of the insulation"
        lines.append(OfferLine(Included.EDGE_TIMBER, timber))
    return lines


def _board(items: set[str]) -> str:
    """The board of an option as `18 mm deck board`; empty where it has none."""
    for item in sorted(items):
        for code, words in _BOARDS.items():
            if item.startswith(code):
                return f"{item.removeprefix(code)} mm {words}"
    return ""


def _opening_lines(enquiry: Enquiry) -> list[OfferLine]:
    lines = []
    kinds = {opening.kind for opening in enquiry.openings}
    if OpeningKind.ROOFLIGHT in kinds:
        kerbs = "The laminate carried up every rooflight kerb"
        lines.append(OfferLine(Included.KERBS, kerbs))
    if OpeningKind.PIPE in kinds:
        pipes = "The laminate dressed and sealed round every pipe"
        lines.append(OfferLine(Included.PIPES, pipes))
    if OpeningKind.OUTLET in kinds:
        lines.append(OfferLine(Included.OUTLETS, "A new outlet bonded into the laminate"))
    return lines


def _laminate_line(enquiry: Enquiry) -> OfferLine:
    mat = f"{wording.number(enquiry.mat_g_m2.number)} g glass mat"
    layers = int(enquiry.mat_layers.number)
    laminate = mat if layers == 1 else f"{layers} layers of {mat}"
    to_agree = enquiry.colour.strip().lower() in _COLOUR_OPEN
    topcoat = "topcoat, colour to be agreed" if to_agree else f"topcoat in {enquiry.colour}"
    return OfferLine(Included.LAMINATE, f"Fibreglass laminate of {laminate}, {topcoat}")


def _strips_deck(option: OptionTakeOff) -> bool:
    return any(strip.key is ComesOff.DECK for strip in option.strip)


def _coverings_off(option: OptionTakeOff) -> list[str]:
    return [strip.words for strip in option.strip if strip.key is ComesOff.COVERING]


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
