"""What an option includes and leaves undone, as keys and figures; the words are in `offer.toml`."""

from collections.abc import Iterator

from quotegen import wording
from quotegen.model.choices import (
    INSULATED,
    OVER_OLD_DECK,
    Access,
    Answer,
    BowTrims,
    BuildUp,
    ComesOff,
    Covering,
    EdgeKind,
    EdgeWay,
    OpeningKind,
    PriceBasis,
    Shape,
    WallJoint,
)
from quotegen.model.enquiry import Enquiry, Finding
from quotegen.model.settings import Settings
from quotegen.model.takeoff import OptionTakeOff, Stage
from quotegen.phrases import small, without_stop
from quotegen.reference import house_rules
from quotegen.reference import loader as reference
from quotegen.reference.item_kinds import ItemKind
from quotegen.reference.remark_keys import Included, Undone
from quotegen.reference.remarks import Remark, remark
from quotegen.reference.rule_keys import Told
from quotegen.takeoff.trims.trim_fixings import bandaged_words

_FROM = {
    Access.LADDER: Included.ACCESS_LADDER,
    Access.GROUND: Included.ACCESS_GROUND,
    Access.TOWER: Included.ACCESS_TOWER,
    Access.SCAFFOLD: Included.ACCESS_SCAFFOLD,
}
_BOARDS = {ItemKind.DECK_BOARD: "deck board", ItemKind.TONGUED_BOARD: "tongued board"}
_OPENINGS = {
    OpeningKind.ROOFLIGHT: Included.KERBS,
    OpeningKind.PIPE: Included.PIPES,
    OpeningKind.OUTLET: Included.OUTLETS,
}
_TRIMS = (
    ItemKind.TRIM_DRIP,
    ItemKind.TRIM_RAISED,
    ItemKind.TRIM_WALL,
    ItemKind.TRIM_FLASHING,
    ItemKind.TRIM_FLAT,
    ItemKind.TRIM_EXPANSION,
)


def includes(enquiry: Enquiry, option: OptionTakeOff, settings: Settings) -> tuple[Remark, ...]:
    """What the price of an option covers, in the order of the work."""
    kinds = {need.kind for need in option.needs}
    lines = _access_lines(option, kinds)
    lines += [remark(Included.STRIP, old=old) for old in _coverings_off(option)]
    lines += _deck_lines(enquiry, option, kinds)
    if not kinds.isdisjoint(_TRIMS):
        lines.append(_trims_line(enquiry, option, settings))
    if option.expansion_m:
        lines.append(remark(Included.EXPANSION, length=option.expansion_m))
    if ItemKind.TRIM_FLASHING in kinds:
        lines.append(remark(Included.FLASHING))
    elif _keeps_lead(enquiry):
        lines.append(remark(Included.LEAD_BACK))
    lines += _opening_lines(enquiry)
    lines.append(_laminate_line(enquiry))
    if enquiry.gutter_mm and enquiry.gutter_mm.number:
        lines.append(remark(Included.GUTTER, length=enquiry.gutter_mm))
    if enquiry.tiles_mm and enquiry.tiles_mm.number:
        lines.append(remark(Included.TILES, length=enquiry.tiles_mm))
    return (*lines, *_besides(enquiry, option.build_up))


def _besides(enquiry: Enquiry, build_up: BuildUp) -> Iterator[Remark]:
    """What is paid for on top of the roof: findings that are put right, extras in the price."""
    for finding in enquiry.findings:
        if finding.is_done_in(build_up):
            ordered = finding.answer is Answer.DO_IT
            key = Included.FOUND if ordered else Included.RESTED_ON
            yield remark(key, advised=without_stop(finding.advised))
    for extra in enquiry.extras:
        if extra.included:
            yield remark(Included.EXTRA, words=without_stop(extra.words))


def _trims_line(enquiry: Enquiry, option: OptionTakeOff, settings: Settings) -> Remark:
    """The trims, how they go round a bow, and what is bandaged."""
    bow = enquiry.roof.shape is Shape.BOW
    round_a_bow = {BowTrims.SLIT: Included.TRIMS_SLIT, BowTrims.SHORT: Included.TRIMS_SHORT}
    key = round_a_bow[BowTrims(settings.text("bow_trims"))] if bow else Included.TRIMS
    return remark(key, bandaged=bandaged_words(settings, option.boards, curved=bow))


def leaves_undone(
    enquiry: Enquiry, option: OptionTakeOff, settings: Settings
) -> tuple[Remark, ...]:
    """What an option leaves as it is, and what may happen."""
    lines = []
    covered = enquiry.existing.covering not in (None, Covering.NONE)
    if covered and not _coverings_off(option):
        lines.append(remark(Undone.COVERING_STAYS))
    if not _strips_deck(option):
        lines.append(remark(Undone.DECK_STAYS))
    if not any(_is_done(finding, PriceBasis.FIRRINGS, option) for finding in enquiry.findings):
        lines.append(remark(Undone.FALL_STAYS))
    if not any(need.kind is ItemKind.INSULATION for need in option.needs):
        lines.append(remark(Undone.NO_INSULATION))
    if _keeps_lead(enquiry):
        lines.append(remark(Undone.LEAD_STAYS))
    if any(opening.kind is OpeningKind.ROOFLIGHT for opening in enquiry.openings):
        lines.append(remark(Undone.GLAZING_STAYS))
    lines += _to_agree(option, settings)
    lines += [
        remark(Undone.DECLINED, advised=_inside_a_sentence(finding.advised))
        for finding in declined(enquiry, option)
    ]
    return tuple(lines)


def _to_agree(option: OptionTakeOff, settings: Settings) -> list[Remark]:
    """What the customer has to know before choosing: a heavier roof, a low upstand."""
    lines: list[Remark] = []
    heavier, left = option.weight_change_pct, option.upstand_left_mm
    load = option.load_kn_m2
    if heavier and load and heavier.number > settings.number("weight_change_pct"):
        lines.append(remark(Told.HEAVIER, change=heavier, load=load))
    least = reference.figure("flat_roofs.upstand_mm")
    if left is not None and left.number < least.number:
        lines.append(remark(Undone.UPSTAND, left=left, least=least))
    return lines


def declined(enquiry: Enquiry, option: OptionTakeOff) -> tuple[Finding, ...]:
    """The findings whose advice was turned down and that an option leaves as they are."""
    return tuple(
        finding
        for finding in enquiry.findings
        if finding.answer is Answer.DECLINED and not finding.is_renewed_in(option.build_up)
    )


def _working_from(option: OptionTakeOff) -> Remark:
    chosen, towers = option.access.chosen, option.access.towers
    if option.access.way is EdgeWay.TOWERS:
        if towers.number > 1:
            return remark(Included.ACCESS_TOWERS, towers=towers)
        return remark(Included.ACCESS_TOWER_EDGE)
    if len(option.access.places) > 1:
        return remark(Included.ACCESS_TOWER_MOVED)
    return remark(_FROM[chosen])


def _access_lines(option: OptionTakeOff, kinds: set[ItemKind]) -> list[Remark]:
    lines = [_working_from(option)]
    if ItemKind.BARRIER_HIRE in kinds:
        lines.append(remark(Included.BARRIERS))
    if any(stage is Stage.ACCESS for stage, _ in option.charges):
        lines.append(remark(Included.LICENCE))
    return lines


def _deck_lines(enquiry: Enquiry, option: OptionTakeOff, kinds: set[ItemKind]) -> list[Remark]:
    """The boards from the joists upwards; with insulation the last board lies over it."""
    board = _board(option)
    new_deck = remark(Included.NEW_DECK, board=board)
    stripped = _strips_deck(option)
    lines = [remark(Included.DECK_UP)] if stripped else []
    if option.build_up is BuildUp.CAP_OVER and board:
        lines.append(remark(Included.CAP, board=board))
    elif option.build_up is BuildUp.NEW_DECK and board:
        lines.append(new_deck)
    elif option.build_up in INSULATED and board and enquiry.insulation_mm:
        capped = option.build_up in OVER_OLD_DECK
        lines += [] if capped else [new_deck]
        over = Included.INSULATION_ON_OLD if capped else Included.INSULATION_ON_NEW
        lines.append(remark(over, thickness=enquiry.insulation_mm))
        lines.append(remark(Included.BOARD_OVER_INSULATION, board=board))
    if ItemKind.EDGE_TIMBER in kinds:
        kerbs = any(opening.kind is OpeningKind.ROOFLIGHT for opening in enquiry.openings)
        key = Included.EDGE_AND_KERB_TIMBER if kerbs else Included.EDGE_TIMBER
        lines.append(remark(key))
    return lines


def _board(option: OptionTakeOff) -> str:
    """The board of an option as `18 mm deck board`; empty where it has none."""
    for need in option.needs:
        size = house_rules.items()[need.item].size
        if need.kind in _BOARDS and size is not None:
            return f"{wording.mm(size)} {_BOARDS[need.kind]}"
    return ""


def _opening_lines(enquiry: Enquiry) -> Iterator[Remark]:
    kinds = {opening.kind for opening in enquiry.openings}
    for kind, key in _OPENINGS.items():
        if kind in kinds:
            yield remark(key)


def _laminate_line(enquiry: Enquiry) -> Remark:
    mat, layers, colour = enquiry.mat_g_m2, enquiry.mat_layers, enquiry.colour
    no_colour = enquiry.colour_open
    if layers.number == 1:
        if no_colour:
            return remark(Included.LAMINATE_NO_COLOUR, mat=mat)
        return remark(Included.LAMINATE, mat=mat, colour=colour)
    if no_colour:
        return remark(Included.LAMINATE_LAYERS_NO_COLOUR, layers=layers, mat=mat)
    return remark(Included.LAMINATE_LAYERS, layers=layers, mat=mat, colour=colour)


def _strips_deck(option: OptionTakeOff) -> bool:
    return any(strip.key is ComesOff.DECK for strip in option.strip)


def _coverings_off(option: OptionTakeOff) -> list[str]:
    return [strip.words for strip in option.strip if strip.key is ComesOff.COVERING]


def _keeps_lead(enquiry: Enquiry) -> bool:
    kinds = [*enquiry.roof.edges.values(), *(row.kind for row in enquiry.roof.outline_rows)]
    return enquiry.wall_joint is WallJoint.KEEP_LEAD and EdgeKind.WALL in kinds


def _is_done(finding: Finding, basis: PriceBasis, option: OptionTakeOff) -> bool:
    return finding.basis is basis and finding.is_done_in(option.build_up)


def _inside_a_sentence(advised: str) -> str:
    return small(advised).rstrip(" .")
