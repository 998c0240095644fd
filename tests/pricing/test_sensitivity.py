"""The effect of 25 mm more on a size, against the quote of the longer roof."""

from decimal import Decimal

from quotegen.model.choices import Shape, Size
from quotegen.model.enquiry import Enquiry, OutlineRow
from quotegen.model.quote import Quote
from quotegen.pricing.quote import make_quote
from quotegen.pricing.sensitivity import sensitivity
from quotegen.takeoff.measure import measure
from tests import builders


def quoted(enquiry: Enquiry) -> Quote:
    firm, prices = builders.settings(), builders.prices()
    take_off, _ = measure(enquiry, firm, prices, builders.TODAY)
    assert take_off is not None
    return make_quote(take_off, firm, prices, builders.TODAY)[0]


def shifts(quote: Quote) -> dict[str, tuple[Decimal, Decimal]]:
    found = sensitivity(quote, builders.prices())
    return {shift.size: (shift.cost, shift.net) for shift in found}


def test_each_size_is_shifted_alone() -> None:
    def of(width: float, out: float) -> Quote:
        sizes = {Size.WIDTH: width, Size.PROJECTION: out}
        return quoted(builders.enquiry(builders.roof(sizes=sizes)))

    base = of(3000, 2000)
    for size, longer in ((Size.WIDTH, of(3025, 2000)), (Size.PROJECTION, of(3000, 2025))):
        before, after = base.options[0], longer.options[0]
        assert shifts(base)[str(size)] == (
            after.cost.money - before.cost.money,
            after.totals.net.money - before.totals.net.money,
        )


def test_a_size_that_cannot_be_longer_is_left_out() -> None:
    sizes = {Size.WIDTH: 2000.0, Size.PROJECTION: 990.0}
    bow = quoted(builders.enquiry(builders.roof(Shape.BOW, sizes=sizes)))
    assert set(shifts(bow)) == {str(Size.WIDTH)}  # 1015 out of 2000 is past half a circle


def test_a_measured_outline_grows_as_a_whole() -> None:
    rows = tuple(
        OutlineRow(
            builders.enquiry().place,
            kind,
            length_mm=builders.given("length", length, "mm"),
            turn_deg=builders.given("turn", 90.0, "degrees"),
        )
        for length, kind in zip(
            (3000.0, 2000.0, 3000.0, 2000.0),
            (edge for edge in builders.roof().edges.values()),
            strict=True,
        )
    )
    roof = builders.roof(Shape.MEASURED, sizes={}, edges={}, outline_rows=rows)
    found = shifts(quoted(builders.enquiry(roof)))
    assert set(found) == {"every length of the outline"}
    assert found["every length of the outline"][0] > 0
