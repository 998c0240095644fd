"""What an option includes and leaves undone, in sentences a landlord can hold us to."""

from collections.abc import Sequence

from quotegen.model.enquiry import Access, Answer, Covering, EdgeKind, Enquiry, WallJoint
from quotegen.model.takeoff import OptionTakeOff
from quotegen.reference import loader as reference
from quotegen.units import mm_to_m

_WORKING_FROM = {
    Access.TOWER: "A tower with guard rails, put up, hired and taken away",
    Access.SCAFFOLD: "A scaffold with guard rails, put up, hired and taken away",
    Access.LADDER: "Ladder access for light work of short duration",
    Access.GROUND: "Work from the ground",
}


def includes(enquiry: Enquiry, option: OptionTakeOff) -> tuple[str, ...]:
    """What the price of an option covers, in the order of the work."""
    existing = enquiry.existing
    items = {need.item for need in option.needs}
    lines = [_WORKING_FROM[option.access.chosen]]
    if existing.covering not in (None, Covering.NONE):
        lines.append(f"Strip the old {existing.covering} and take it away")
    lines += _deck_lines(enquiry, option, items)
    if enquiry.roof and any(need.item.startswith("trim_") for need in option.needs):
        lines.append("New edge trims on every side, bonded and bandaged into the laminate")
    if "trim_flashing" in items:
        lines.append("A new flashing let into the wall and sealed")
    elif enquiry.wall_joint is WallJoint.KEEP_LEAD:
        lines.append("The sound lead flashing lifted and dressed back")
    mat = f"{enquiry.mat_g_m2.number:.0f} g glass mat"
    layers = int(enquiry.mat_layers.number)
    lines.append(
        f"Fibreglass laminate of {mat if layers == 1 else f'{layers} layers of {mat}'}, "
        f"topcoat in {enquiry.colour or 'the standard colour'}"
    )
    if enquiry.gutter_mm:
        lines.append(f"{mm_to_m(enquiry.gutter_mm.number):.1f} m of gutter taken off and refitted")
    if enquiry.tiles_mm:
        lines.append(f"{mm_to_m(enquiry.tiles_mm.number):.1f} m of tiles lifted and relaid")
    return tuple(lines)


def leaves_undone(enquiry: Enquiry, option: OptionTakeOff) -> tuple[str, ...]:
    """What an option leaves as it is, and what may follow."""
    lines = []
    items = {need.item for need in option.needs}
    if not any(strip.words == "old deck" for strip in option.strip):
        lines.append("The old deck stays; decay hidden in it may not be found")
    lines.append("The fall of the roof stays as the joists give it; shallow water may stand")
    insulated = any(item.startswith("insulation_") for item in items)
    if not insulated:
        lines.append("No insulation is added")
        if enquiry.site.heated_below is not False:
            lines.append(_renewal_note())
    if enquiry.wall_joint is WallJoint.KEEP_LEAD and _has_wall(enquiry):
        lines.append("The old lead flashing stays, with whatever life it has left")
    lines += [
        f"Declined: {finding.advised[:1].lower()}{finding.advised[1:]}"
        for finding in enquiry.findings
        if finding.answer is Answer.DECLINED
    ]
    return tuple(lines)


def _deck_lines(
    enquiry: Enquiry, option: OptionTakeOff, items: Sequence[str] | set[str]
) -> list[str]:
    boards = sorted(item for item in items if item.startswith("deck_board_"))
    lines = []
    if any(strip.words == "old deck" for strip in option.strip):
        lines.append("Take up the old deck and check the joists")
    for item in boards:
        thickness = item.removeprefix("deck_board_")
        where = "over the sound old deck" if not _is_new_deck(option) else "as a new deck"
        lines.append(f"{thickness} mm structural board {where}, screwed to the joists")
    if enquiry.insulation_mm and any(item.startswith("insulation_") for item in items):
        lines.append(
            f"Vapour control layer and {enquiry.insulation_mm.number:.0f} mm of insulation"
        )
    return lines


def _is_new_deck(option: OptionTakeOff) -> bool:
    return option.build_up is not option.build_up.CAP_OVER


def _has_wall(enquiry: Enquiry) -> bool:
    kinds = [*enquiry.roof.edges.values(), *(row.kind for row in enquiry.roof.outline_rows)]
    return EdgeKind.WALL in kinds


def _renewal_note() -> str:
    share = reference.entry("thermal.renewed_share_pct")
    u_value = reference.entry("thermal.renovated_roof_u")
    return (
        f"Renewing more than {share.value} % of a roof over a heated room counts as renovation: "
        f"building control may ask for insulation to {u_value.value} {u_value.unit} "
        f"({share.source}); ask them before you choose"
    )
