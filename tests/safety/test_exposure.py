"""Exposure limits: the published pairs and the conversion between them."""

import pytest

from quotegen.reference import loader
from quotegen.reference.loader import ReferenceFileError, entry
from quotegen.safety import exposure
from quotegen.safety.exposure import limit_line, limit_source, ppm_to_mg_m3

# EH40/2005, 4th edition 2020, table 1: ppm, molar mass, published mg/m3. Styrene ppm as on HSE's
# page on plastics, acetone's 15-minute pair as reprinted in a handbook; the rest from memory.
PUBLISHED = [
    (100, 104.15, 430),
    (250, 104.15, 1080),
    (500, 58.08, 1210),
    (1500, 58.08, 3620),
    (200, 72.11, 600),
    (300, 72.11, 899),
]


@pytest.mark.parametrize(("ppm", "molar_mass_g", "mg_m3"), PUBLISHED)
def test_conversion_gives_the_published_pairs_within_one_per_cent(
    ppm: float, molar_mass_g: float, mg_m3: float
) -> None:
    volume_l = entry("exposure_limits.molar_volume_l").value
    assert ppm_to_mg_m3(ppm, molar_mass_g, volume_l) == pytest.approx(mg_m3, rel=0.01)


def test_a_mole_of_gas_at_20_degrees_by_the_gas_law() -> None:
    # R = 8.314462618 J/(mol K) (SI), 293.15 K, 101,325 Pa.
    by_law_l = 8.314462618 * 293.15 / 101325 * 1000
    assert entry("exposure_limits.molar_volume_l").value == pytest.approx(by_law_l, rel=1e-4)


@pytest.mark.parametrize(
    ("key", "says"),
    # EH40/2005, 4th edition 2020; lead: Control of Lead at Work Regulations 2002.
    [
        ("styrene", ["100 ppm (430 mg/m³) over 8 hours", "250 ppm (1080 mg/m³) over 15 minutes"]),
        ("acetone", ["500 ppm (1210 mg/m³) over 8 hours", "1500 ppm (3620 mg/m³)"]),
        ("mekp", ["0.2 ppm (1.5 mg/m³) over 15 minutes"]),
        ("silica", ["0.1 mg/m³ over 8 hours"]),
        ("isocyanates", ["0.02 mg/m³ over 8 hours", "0.07 mg/m³ over 15 minutes"]),
        ("lead", ["0.15 mg/m³ over 8 hours"]),
    ],
)
def test_lines_say_the_published_limits_and_beside_them_their_source(
    key: str, says: list[str]
) -> None:
    line = limit_line(key)
    assert all(part in line for part in says)
    assert limit_source(key).startswith(entry(f"exposure_limits.{key}").source)


def test_a_slip_of_the_pen_between_the_two_columns_is_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    wrong = dict(loader.entry("exposure_limits.styrene").value, long_mg_m3=340)
    real = exposure.entry

    def slipped(dotted: str) -> loader.Entry:
        found = real(dotted)
        if not dotted.endswith("styrene"):
            return found
        return loader.Entry(
            **{name: getattr(found, name) for name in loader.Entry.__slots__} | {"value": wrong}
        )

    monkeypatch.setattr(exposure, "entry", slipped)
    with pytest.raises(ReferenceFileError, match="is not 340 mg/m3"):
        limit_line("styrene")
