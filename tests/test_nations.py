"""Which nation a postcode lies in."""

import pytest

from quotegen.model.choices import Nation
from quotegen.reference.loader import entry
from quotegen.reference.nations import nation_of

AREAS = """
AB AL B BA BB BD BH BL BN BR BS BT CA CB CF CH CM CO CR CT CV CW DA DD DE DG DH DL DN DT DY E EC EH
EN EX FK FY G GL GU HA HD HG HP HR HS HU HX IG IP IV KA KT KW KY L LA LD LE LL LN LS LU M ME MK ML
N NE NG NN NP NR NW OL OX PA PE PH PL PO PR RG RH RM S SA SE SG SK SL SM SN SO SP SR SS ST SW SY TA
TD TF TN TQ TR TS TW UB W WA WC WD WF WN WR WS WV YO ZE
"""
"""The areas of addresses in the United Kingdom: the list of postcode districts of an encyclopaedia,
without those of the islands that are not part of it and those that are no place."""
BORDER = {"CA", "CH", "DG", "GL", "HR", "LD", "LL", "NE", "NP", "SY", "TD"}
"""Areas that cross a border, or lie at one. From memory."""


def test_every_area_lies_in_one_nation_or_at_a_border() -> None:
    areas = AREAS.split()
    told = {area: nation_of(f"1 Sample Row, {area}1 1AA") for area in areas}
    assert len(areas) == len(told) == 121
    assert {area for area, nation in told.items() if not nation} == BORDER
    listed = [area for n in Nation for area in entry(f"nations.{n.name.lower()}").value]
    assert sorted((*listed, *BORDER)) == areas


@pytest.mark.parametrize(
    ("address", "nation"),
    [
        ("1 Sample Row, London SW1A 1AA", Nation.ENGLAND),
        ("1 Sample Row, Cardiff\ncf10 1aa", Nation.WALES),
        ("1 Sample Row, Glasgow G11AA", Nation.SCOTLAND),
        ("1 Sample Row, Belfast, BT1 1AA.", Nation.NORTHERN_IRELAND),
        ("Flat B1 2AA House, Edinburgh EH1 1AA", Nation.SCOTLAND),
        ("1 Sample Row, Mizzlehaven ZZ1 1AA", None),
        ("1 Sample Row, Douglas IM1 1AA", None),
        ("1 Sample Row, Sampleton", None),
        ("", None),
    ],
)
def test_the_last_postcode_of_an_address_says_where_it_is(
    address: str, nation: Nation | None
) -> None:
    assert nation_of(address) == (nation or "")
