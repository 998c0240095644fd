"""What the lines of a take-off and of an offer are joined by; their words are only printed."""

from enum import StrEnum


class Along(StrEnum):
    """What a trim runs along."""

    EDGE = "edge"
    KERB = "kerb"
    JOINT = "joint"


class Task(StrEnum):
    """The tasks hours are counted for, in the order of the work; one may be there several times."""

    SET_UP = "set-up"
    TOWER = "tower"
    COME_BACK = "come-back"
    STRIP_COVERING = "strip-covering"
    STRIP_DECK = "strip-deck"
    CARRY_AWAY = "carry-away"
    TIP_RUNS = "tip-runs"
    JOIST_CHECK = "joist-check"
    NOGGINS = "noggins"
    CAP = "cap"
    DECK = "deck"
    DECK_OVER_INSULATION = "deck-over-insulation"
    INSULATION = "insulation"
    EDGE_TIMBER = "edge-timber"
    TRIM = "trim"
    CORNERS = "corners"
    MITRES = "mitres"
    BANDAGE = "bandage"
    FLASHING = "flashing"
    LEAD = "lead"
    KERBS = "kerbs"
    PIPES = "pipes"
    OUTLETS = "outlets"
    EXPANSION = "expansion"
    LAMINATE = "laminate"
    SAND = "sand"
    TOPCOAT = "topcoat"
    GUTTER = "gutter"
    TILES = "tiles"
    FOUND = "found"
    WAIT = "wait"
    TRAVEL = "travel"


class ComesOff(StrEnum):
    """What of the old roof comes off."""

    COVERING = "covering"
    DECK = "deck"


class Waste(StrEnum):
    """What comes off as waste, each by the key of its code among those of the reference."""

    FELT = "felt"
    TIMBER = "timber"
    PLASTIC = "plastic"
    LEAD = "lead"


class Included(StrEnum):
    """What the price of an option may cover."""

    ACCESS = "access"
    BARRIERS = "barriers"
    LICENCE = "licence"
    STRIP = "strip"
    DECK_UP = "deck-up"
    CAP = "cap"
    NEW_DECK = "new-deck"
    INSULATION = "insulation"
    BOARD_OVER_INSULATION = "board-over-insulation"
    EDGE_TIMBER = "edge-timber"
    TRIMS = "trims"
    EXPANSION = "expansion"
    FLASHING = "flashing"
    LEAD_BACK = "lead-back"
    KERBS = "kerbs"
    PIPES = "pipes"
    OUTLETS = "outlets"
    LAMINATE = "laminate"
    GUTTER = "gutter"
    TILES = "tiles"


class Undone(StrEnum):
    """What an option may leave as it is, or what the customer has to know of it."""

    COVERING_STAYS = "covering-stays"
    DECK_STAYS = "deck-stays"
    FALL_STAYS = "fall-stays"
    NO_INSULATION = "no-insulation"
    LEAD_STAYS = "lead-stays"
    GLAZING_STAYS = "glazing-stays"
    HEAVIER = "heavier"
    UPSTAND = "upstand"
    DECLINED = "declined"
