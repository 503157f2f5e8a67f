"""One cause, one finding: invented findings, expected groups written out by hand."""


from msgspec.structs import replace

from generator.check.grouping import grouped
from generator.model.finding import Finding
from generator.model.place import Place

UNKNOWN = Finding("7.2", "float-floats", "LX-1", ("LX-1", "T-1"), "cannot be assessed", "error", "it floats", "",
                  missing=("water: density",))
FAILED = Finding("4.1", "contact-is-stated", "LS-1", ("LS-1",), "fail", "warning", "it is stated", "not stated",
                 evidence="no contact stated", place=Place("a.yml", 3, 1, "pattern float, row 1"))


def test_one_missing_property_is_one_finding_with_its_dependants() -> None:
    other = replace(UNKNOWN, subject="LX-2", tags=("LX-2", "T-1"), severity="warning")
    (one,) = grouped([UNKNOWN, other])
    assert one.subject == "water"
    assert one.tags == ("water", "LX-1", "T-1", "LX-2")
    assert one.severity == "error"
    assert one.missing == ("water: density",)


def test_what_each_lacks_itself_stays_apart() -> None:
    own = [replace(UNKNOWN, subject=tag, tags=(tag,), missing=(f"{tag}: ratings.density_lowest",)) for tag in ("LX-1", "LX-2")]
    assert grouped(own) == own


def test_two_rules_stay_apart() -> None:
    assert len(grouped([UNKNOWN, replace(UNKNOWN, rule="7.1")])) == 2


def test_one_finding_for_a_pattern() -> None:
    other = replace(FAILED, subject="LS-2", tags=("LS-2",), place=Place("a.yml", 3, 1, "pattern float, row 2"))
    (one,) = grouped([FAILED, other])
    assert one.subject == "LS-1, LS-2"
    assert one.tags == ("LS-1", "LS-2")
    assert one.place.line == 3


def test_rows_that_fail_differently_stay_apart() -> None:
    other = replace(FAILED, subject="LS-2", evidence="no shelf state")
    assert len(grouped([FAILED, other])) == 2


def test_findings_outside_of_patterns_stay_apart() -> None:
    plain = replace(FAILED, place=Place("a.yml", 3, 1))
    assert len(grouped([plain, replace(plain, subject="LS-2")])) == 2


def test_passes_stay_as_they_are_and_in_order() -> None:
    passes = [replace(FAILED, verdict="pass", subject=f"LS-{number}") for number in range(3)]
    assert grouped(passes) == passes
