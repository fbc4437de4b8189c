"""Class rules held against a bow's figures; each rule's source stands with it."""

import pytest

from workshop.calc.classrules import RULES, BowFigures, Rule, check
from workshop.calc.errors import Mismatch, OutOfRange
from workshop.calc.imperial import FOOT_M, INCH_M


def met(code, **figures):
    return check(RULES[code], BowFigures(**figures)).met


def test_every_rule_says_where_it_was_read():
    assert all(rule.source for rule in RULES.values())
    assert len(RULES) == 8


def test_160_and_150_cm_in_inches():
    # 150 cm = 59.055 in, 160 cm = 62.992 in.
    assert met("longbow_160_strung", strung_length_m=63.0 * INCH_M)
    assert not met("longbow_160_strung", strung_length_m=62.9 * INCH_M)
    assert met("longbow_150_strung", strung_length_m=59.1 * INCH_M)
    assert not met("longbow_150_strung", strung_length_m=59.0 * INCH_M)


def test_strung_and_unstrung_are_two_rules_because_the_sources_disagree():
    finding = check(RULES["longbow_160_strung"], BowFigures(unstrung_length_m=1.75))
    assert (finding.met, finding.missing) == (None, "strung_length_m")
    assert met("longbow_160_unstrung", unstrung_length_m=1.75)


def test_a_british_longbow_is_at_least_five_eighths_as_deep_as_wide_everywhere():
    finding = check(
        RULES["british_longbow_depth"],
        BowFigures(widths_m=(0.032, 0.024, 0.016), depths_m=(0.024, 0.0149, 0.012)),
    )
    assert not finding.met
    assert finding.station == 1
    assert finding.value == pytest.approx(0.0149 / 0.024)
    assert met("british_longbow_depth", widths_m=(0.032, 0.024), depths_m=(0.020, 0.015))


@pytest.mark.parametrize(
    ("arrow_in", "bow_ft", "good"), [(26, 5, True), (27, 5, False), (27, 5.5, True), (26, 4.9, False)]
)
def test_a_british_longbow_is_five_feet_or_five_and_a_half_for_longer_arrows(arrow_in, bow_ft, good):
    assert met("british_longbow_length", arrow_m=arrow_in * INCH_M, unstrung_length_m=bow_ft * FOOT_M) is good


def test_what_was_not_measured_is_neither_met_nor_missed():
    for rule in RULES.values():
        finding = check(rule, BowFigures())
        assert finding.met is None
        assert finding.missing


def test_six_layers_and_no_more():
    assert met("longbow_six_layers", layers=6)
    assert not met("longbow_six_layers", layers=7)


def test_a_recurve_begins_half_way_along_the_limb_or_nearer_the_grip():
    assert met("longbow_recurve_half_way", recurve_from_nock=0.6)
    assert not met("longbow_recurve_half_way", recurve_from_nock=0.3)


def test_figures_that_do_not_pair_and_unknown_rules_are_refused():
    with pytest.raises(Mismatch):
        met("british_longbow_depth", widths_m=(0.03,), depths_m=(0.02, 0.01))
    with pytest.raises(OutOfRange):
        check(Rule("own", "Own", "colour", 1, "the shop"), BowFigures())
